"""What the two sides of a canal's drawing are called: furcation and outer side, or mesial and distal of a lone root."""

from dataclasses import dataclass

from django.utils.translation import gettext as _

from casebank.anatomy import Tooth, facing_furcation


@dataclass(frozen=True)
class Sides:
    """Names of the side drawn left, which the bench calls the furcation's, and of the other."""

    furcation: str
    outer: str
    furcation_wall: str
    outer_wall: str
    to_furcation: str
    to_outer: str


def sides_of(tooth: Tooth, canal: str) -> Sides:
    if len(tooth.roots) > 1:
        return Sides(
            furcation=_("furcation side"),
            outer=_("outer side"),
            furcation_wall=_("Wall towards the furcation"),
            outer_wall=_("Outer wall"),
            to_furcation=_("towards the furcation"),
            to_outer=_("away from the furcation"),
        )
    distal = (_("distal side"), _("Distal wall"), _("towards distal"))
    mesial = (_("mesial side"), _("Mesial wall"), _("towards mesial"))
    faces_distal = facing_furcation(tooth.root(tooth.canal(canal).root), tooth.roots)[0] > 0
    near, far = (distal, mesial) if faces_distal else (mesial, distal)
    return Sides(near[0], far[0], near[1], far[1], near[2], far[2])
