"""The facts that difficulty is judged by: what findings state, and what is measured on the anatomy or a film."""

import math
from collections.abc import Mapping
from dataclasses import dataclass

from casebank.anatomy import Anatomy, Tooth
from casebank.difficulty import canal_form

HIDDEN_AXIS_DEG = 10.0  # a restored crown this far off its roots' line hides it: teaching choice
NOT_DESCRIBED = "none described"
MINOR_LOSS_MM = 2.0  # of a root's end: teaching choice


@dataclass(frozen=True)
class Stated:
    """A fact that a finding states; `finding` is its letter in the chart, and so the evidence."""

    value: str | int
    finding: str

    def __post_init__(self) -> None:
        if isinstance(self.value, bool) or not isinstance(self.value, str | int):
            raise ValueError(f"a finding states {self.value!r}: give a word or a whole number")
        if not self.finding:
            raise ValueError(f"no finding states {self.value!r}: name its letter")


@dataclass(frozen=True)
class Measured:
    """A fact computed from the anatomy or read on a film.

    Attributes
    ----------
    value : float or str
    unit : str
        "deg" or "mm"; empty for a word.
    method : str
        How it was measured, as a reader is told.
    source : str
        Where: "anatomy", or a film with its canal and view.
    """

    value: float | str
    unit: str
    method: str
    source: str

    def __post_init__(self) -> None:
        if isinstance(self.value, str) == bool(self.unit):
            raise ValueError(f"{self.value!r} with unit {self.unit!r}: a number needs a unit, and a word has none")
        if not isinstance(self.value, str) and not math.isfinite(self.value):
            raise ValueError(f"a measured value of {self.value} cannot be judged: give a finite number")
        if not (self.method and self.source):
            raise ValueError(f"{self.value!r} stands without method or source: give both")


Facts = Mapping[str, Stated | Measured]


def together(measured: Mapping[str, Measured], stated: Mapping[str, Stated]) -> dict[str, Stated | Measured]:
    """All facts of a case in one mapping.

    A finding may state what the anatomy does not describe ("none described"), never what is measured on it: otherwise
    key and film could contradict each other.

    Raises
    ------
    ValueError
        If a finding states a fact that the anatomy gives.
    """
    for name, fact in stated.items():
        if name in measured and measured[name].value != NOT_DESCRIBED:
            raise ValueError(
                f"finding {fact.finding} states {name}, which the anatomy gives as {measured[name].value!r}: "
                "remove it from the finding, or change the anatomy"
            )
    return {**measured, **stated}


def measured_from(anatomy: Anatomy) -> dict[str, Measured]:
    """Every fact that the anatomy gives without a film, by the fact's name.

    The curvature is not among them: it is read on the films that were taken (fact "seen_curvature_deg").
    """
    tooth, crest, crown = anatomy.tooth, anatomy.support.crest, anatomy.tooth.crown
    widest = max(tooth.canals, key=lambda canal: canal.foramen.wide_mm)
    crown_off_root_deg = max(abs(crown.off_root_mesiodistal_deg), abs(crown.off_root_buccolingual_deg))
    third, parted = canal_form.division(tooth)
    bent = [canal.name for canal in tooth.canals if canal_form.is_s_shaped(canal.course)]
    return {
        "tooth_group": _word(_tooth_group(tooth), f"tooth {tooth.number}, ISO 3950"),
        "tilt_deg": _angle(abs(anatomy.placement.tilt_deg), "roots' axis against a square to the bite"),
        "rotation_deg": _angle(abs(anatomy.placement.rotation_deg), "turn about the tooth's own axis"),
        "crown_state": _crown_state(anatomy, crown_off_root_deg),
        "crown_off_root_deg": _angle(crown_off_root_deg, "larger of mesio-distal and bucco-lingual"),
        "crest_depth_mm": _length(
            max(crest.mesial_mm, crest.distal_mm, crest.buccal_mm, crest.lingual_mm), "deepest of four sides"
        ),
        "canal_shape": _word(
            "S-shaped" if bent else "straight or bent one way",
            f"two opposite bends of {canal_form.S_LOBE_DEG:g}° or more each make an S, teaching choice",
            f"anatomy, canal {' and '.join(bent)}" if bent else "anatomy, all canals",
        ),
        "apical_opening_mm": _length(widest.foramen.wide_mm, "widest foramen", f"anatomy, canal {widest.name}"),
        "tooth_length_mm": _length(tooth.length_mm, "reference cusp or edge to the lowest apex"),
        "root_number": _word(canal_form.root_number(tooth), f"roots counted: {len(tooth.roots)}"),
        "canal_division": _word(
            third, f"centre lines of one orifice part by {canal_form.AS_ONE_MM:g} mm", f"anatomy, {parted}"
        ),
        "canal_sight": _canal_sight(tooth),
        "canal_contents": _canal_contents(anatomy),
        "pulp_stones": _pulp_stones(tooth),
        "resorption": _resorption(tooth),
        "lesion": _word("present" if anatomy.lesions else "none", f"lesions in the bone: {len(anatomy.lesions)}"),
    }


def _canal_contents(anatomy: Anatomy) -> Measured:
    """The hardest to remove of what stands in any canal."""
    placed = anatomy.restorations
    for word, pieces in (
        ("broken instrument", placed.fragments),
        ("post", placed.posts),
        ("root filling", placed.root_fillings),
    ):
        if pieces:
            return _word(word, "what stands in the canals", f"anatomy, canal {pieces[0].canal}")
    return _word("nothing", "no root filling, post or broken instrument in any canal")


def _pulp_stones(tooth: Tooth) -> Measured:
    count = len(tooth.chamber.stones) + sum(len(canal.stones) for canal in tooth.canals)
    if count == 0:
        return _word(NOT_DESCRIBED, "the anatomy describes no stones")
    return _word("present", f"stones in chamber and canals: {count}")


def _resorption(tooth: Tooth) -> Measured:
    """The worst of what the tooth has lost, in the criteria's order."""
    for canal in tooth.canals:
        if canal.resorptions:
            return _word("internal", f"anatomy, canal {canal.name}")
    for root in tooth.roots:
        if root.resorptions:
            return _word("external", f"anatomy, root {root.name}")
    shortest = max(tooth.roots, key=lambda root: root.lost_mm)
    if shortest.lost_mm == 0:
        return _word(NOT_DESCRIBED, "the anatomy describes no resorption")
    return _word(
        "minor apical" if shortest.lost_mm <= MINOR_LOSS_MM else "extensive apical",
        f"root {shortest.name} has lost {shortest.lost_mm:.1f} mm of its end; up to {MINOR_LOSS_MM:g} mm is minor, "
        "teaching choice",
    )


def _tooth_group(tooth: Tooth) -> str:
    match tooth.number % 10:
        case 1 | 2 | 3:
            return "anterior"
        case 4 | 5:
            return "premolar"
        case 6:
            return "first molar"
        case _:
            return "second or third molar"


def _crown_state(anatomy: Anatomy, off_root_deg: float) -> Measured:
    if anatomy.prosthesis is None:
        return _word("natural", "no crown or bridge on the tooth")
    method = (
        f"{anatomy.prosthesis.kind}, its axis {off_root_deg:.1f}° off the roots'; "
        f"{HIDDEN_AXIS_DEG:g}° or more hide their line, teaching choice"
    )
    hidden = round(off_root_deg, 1) >= HIDDEN_AXIS_DEG
    return _word("alignment hidden" if hidden else "full coverage or abutment", method)


def _canal_sight(tooth: Tooth) -> Measured:
    canal, narrow_mm = canal_form.narrowest_coronal(tooth)
    return _word(
        canal_form.sight(tooth),
        f"chamber {tooth.chamber.height_mm:.1f} mm high, narrowed below {canal_form.NARROWED_CHAMBER_MM:g} mm; "
        f"canal {canal.name} {narrow_mm:.2f} mm wide at the narrowest of its coronal third, "
        f"narrowed below {canal_form.NARROWED_CANAL_MM:g} mm and unclear below {canal_form.UNSEEN_CANAL_MM:g} mm; "
        f"roof {tooth.chamber.roof_mm:.1f} mm below the cusp, unclear from the neck ({tooth.crown.height_mm:.1f} mm) "
        "down; teaching choices",
    )


def _word(value: str, method: str, source: str = "anatomy") -> Measured:
    return Measured(value, "", method, source)


def _angle(value_deg: float, method: str) -> Measured:
    return Measured(float(value_deg), "deg", method, "anatomy")


def _length(value_mm: float, method: str, source: str = "anatomy") -> Measured:
    return Measured(float(value_mm), "mm", method, source)
