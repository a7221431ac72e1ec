"""The shape of each kind of crown in shares of its sizes.

Teaching choices, drawn after textbook outlines (from memory).
"""

from dataclasses import dataclass, replace


@dataclass(frozen=True)
class Cusp:
    """A round cone: places in shares of (mesio-distal, bucco-lingual, height), radii of the mesio-distal size.

    `flattening` is in shares of the two widths' ratio: 1 keeps the crown's own.
    """

    foot: tuple[float, float, float]
    tip: tuple[float, float, float]
    foot_radius: float
    tip_radius: float
    flattening: float = 1.0


@dataclass(frozen=True)
class CrownForm:
    """A crown's body at shares of its height, with the cusps on it.

    Widths up to the greatest are shares of the way from the neck's width to the greatest, later ones shares of the
    `cap` is the height of the body's rounded top; a crown with an edge has none, and no cusps. `steps` is how
    many frustums the body takes: many where its thickness falls faster than its width, so that none shows.
    """

    shares: tuple[float, ...]
    mesiodistal: tuple[float, ...]
    buccolingual: tuple[float, ...]
    greatest_at: tuple[float, float]
    cap: float = 0.0
    cusps: tuple[Cusp, ...] = ()
    steps: int = 14

    def closed_below(self) -> "CrownForm":
        """The same crown with a rounded underside instead of a neck; its neck should be given as next to nothing."""
        low = (0.0, 0.025, 0.075, 0.16, 0.27)
        keep = [k for k, share in enumerate(self.shares) if share > 0.4]
        rounded = (0.0, 0.33, 0.55, 0.75, 0.90)
        return replace(
            self,
            shares=low + tuple(self.shares[k] for k in keep),
            mesiodistal=rounded + tuple(self.mesiodistal[k] for k in keep),
            buccolingual=rounded + tuple(self.buccolingual[k] for k in keep),
        )


MOLAR = CrownForm(
    shares=(0.0, 0.15, 0.35, 0.55, 0.68, 0.75),
    mesiodistal=(0.0, 0.42, 0.88, 1.0, 0.965, 0.88),
    buccolingual=(0.0, 0.60, 1.0, 0.97, 0.90, 0.80),
    greatest_at=(0.55, 0.35),
    cap=0.12,
    cusps=(
        Cusp((-0.235, -0.22, 0.57), (-0.235, -0.20, 1.0), 0.245, 0.125),
        Cusp((-0.24, 0.23, 0.57), (-0.245, 0.21, 0.985), 0.24, 0.12),
        Cusp((0.08, -0.24, 0.58), (0.05, -0.22, 0.965), 0.23, 0.125),
        Cusp((0.245, 0.22, 0.57), (0.215, 0.20, 0.965), 0.24, 0.12),
        Cusp((0.28, -0.17, 0.56), (0.28, -0.14, 0.925), 0.205, 0.12),
    ),
)
PREMOLAR = CrownForm(
    shares=(0.0, 0.15, 0.35, 0.58, 0.67),
    mesiodistal=(0.0, 0.35, 0.75, 1.0, 0.96),
    buccolingual=(0.0, 0.55, 1.0, 0.94, 0.86),
    greatest_at=(0.58, 0.35),
    cap=0.17,
    cusps=(
        Cusp((0.0, -0.20, 0.58), (-0.02, -0.17, 1.0), 0.43, 0.17, 0.62),
        Cusp((0.0, 0.21, 0.56), (-0.05, 0.20, 0.86), 0.40, 0.17, 0.62),
    ),
)
CANINE = CrownForm(
    shares=(0.0, 0.15, 0.35, 0.60, 0.76, 0.90, 1.0),
    mesiodistal=(0.0, 0.35, 0.75, 1.0, 0.90, 0.52, 0.14),
    buccolingual=(0.0, 1.0, 0.90, 0.66, 0.46, 0.28, 0.12),
    greatest_at=(0.60, 0.15),
    steps=100,
)
INCISOR = CrownForm(
    shares=(0.0, 0.15, 0.35, 0.60, 0.84, 0.96, 1.0),
    mesiodistal=(0.0, 0.35, 0.66, 0.90, 1.0, 0.97, 0.84),
    buccolingual=(0.0, 1.0, 0.86, 0.56, 0.32, 0.21, 0.13),
    greatest_at=(0.84, 0.15),
    steps=100,
)


def form_of(place: int) -> CrownForm:
    """The form of a crown by its place from the midline, 1 to 8."""
    if place >= 6:
        return MOLAR
    if place >= 4:
        return PREMOLAR
    return CANINE if place == 3 else INCISOR
