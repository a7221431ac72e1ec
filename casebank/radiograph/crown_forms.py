"""The shape of each kind of crown in shares of its sizes.

Every section across a crown is a rounded rectangle: an oval where its corners meet, long and thin towards an edge,
nearly square half-way up a molar. Cusps stand on its corners; ridges and a dome close the top between them.

Shares: x of half the mesio-distal width (+ distal), y of half the bucco-lingual width (+ lingual), z of the height.
Teaching choices, drawn after textbook outlines (from memory).
"""

from dataclasses import dataclass

LAST_INCISOR, CANINE, LAST_PREMOLAR = 2, 3, 5  # places from the midline
SIDE_RIDGE = 0.30  # radius of the bars along the sides


@dataclass(frozen=True)
class Level:
    """Half widths and centre of the crown at a height.

    Up to the height where the crown is widest a width is a share of the way from the neck's width to the greatest;
    above, it is a share of the greatest. `roundness` is the mesio-distal radius of the corners over the half width; 1
    leaves no flat buccal side.
    """

    z: float
    x: float
    y: float
    shift_x: float = 0.0
    shift_y: float = 0.0
    roundness: float = 1.0


@dataclass(frozen=True)
class Cusp:
    """A cone with a blunt tip on a place of the topmost level.

    The radius is a share of half the mesio-distal width; `depth` is the bucco-lingual share over it.
    """

    base: tuple[float, float]
    radius: float
    tip: tuple[float, float]
    height: float
    depth: float = 1.0


@dataclass(frozen=True)
class Ridge:
    """A rounded bar; z is the height of its top, the radius a share of half the mesio-distal width."""

    start: tuple[float, float, float]
    end: tuple[float, float, float]
    radius: float


@dataclass(frozen=True)
class CrownForm:
    """One kind of crown.

    Attributes
    ----------
    levels : tuple of Level
        From the neck up, for a crown with cusps to somewhat above their feet.
    greatest_at : tuple of two floats
        Heights of the greatest mesio-distal and bucco-lingual width.
    enamel : float
        Thickness of the enamel over that of a molar.
    """

    levels: tuple[Level, ...]
    greatest_at: tuple[float, float]
    enamel: float
    cusps: tuple[Cusp, ...] = ()
    ridges: tuple[Ridge, ...] = ()
    dome: tuple[float, float] = (0.0, 0.0)

    @property
    def has_edge(self) -> bool:
        return not self.cusps


MOLAR_LEVELS = (
    Level(0.0, 0.0, 0.0),
    Level(0.18, 0.40, 0.62, roundness=0.80),
    Level(0.48, 1.0, 1.0, roundness=0.55),
    Level(0.69, 0.93, 0.84, roundness=0.56),
)
PREMOLAR_LEVELS = (
    Level(0.0, 0.0, 0.0),
    Level(0.19, 0.40, 0.72),
    Level(0.52, 1.0, 0.95),
    Level(0.69, 0.88, 0.80),
    Level(0.81, 0.58, 0.54, 0.0, -0.06),
    Level(0.92, 0.11, 0.13, 0.0, -0.13),
)
CUSP_FOOT = 0.69  # height on which cusps stand
CORNER_X, CORNER_Y, CORNER_RADIUS = 0.41, 0.37, 0.515  # of a molar's cusps at their feet


def _contacts(mesial: float, distal: float, reach: float = 0.34, radius: float = 0.35) -> tuple[Ridge, Ridge]:
    """The two marginal ridges, which are also where the neighbours are touched."""
    x = 0.99 - radius
    return (
        Ridge((-x, -reach, mesial), (-x, reach, mesial), radius),
        Ridge((x, -reach, distal), (x, reach, distal), radius),
    )


def _sides(buccal: float, lingual: float) -> tuple[Ridge, Ridge]:
    """Bars along the buccal and lingual side that the grooves between cusps run out over."""
    y = 0.58
    return (
        Ridge((-0.45, -y, buccal), (0.45, -y, buccal), SIDE_RIDGE),
        Ridge((-0.45, y, lingual), (0.45, y, lingual), SIDE_RIDGE),
    )


def _corner_cusp(side_x: float, side_y: float, tip: tuple[float, float], height: float) -> Cusp:
    return Cusp((side_x * CORNER_X, side_y * CORNER_Y), CORNER_RADIUS, tip, height)


def _molar(cusps: tuple[Cusp, ...], ridges: tuple[Ridge, ...], contacts: tuple[float, float]) -> CrownForm:
    return CrownForm(
        MOLAR_LEVELS, (0.48, 0.48), 1.0, cusps,
        (*_contacts(*contacts), *_sides(0.79, 0.78), *ridges), (0.92, 0.80),
    )  # fmt: skip


LOWER_FIRST_MOLAR = _molar(
    (
        _corner_cusp(-1, -1, (-0.50, -0.46), 0.985),
        Cusp((0.08, -0.44), 0.46, (0.08, -0.48), 0.96),
        Cusp((0.50, -0.26), 0.46, (0.58, -0.24), 0.90),
        _corner_cusp(-1, 1, (-0.48, 0.46), 1.0),
        _corner_cusp(1, 1, (0.42, 0.46), 0.97),
    ),
    (Ridge((-0.42, -0.38, 0.88), (-0.08, 0.0, 0.80), 0.17), Ridge((0.36, 0.40, 0.87), (0.08, 0.0, 0.79), 0.17)),
    (0.83, 0.79),
)
LOWER_MOLAR = _molar(
    (
        _corner_cusp(-1, -1, (-0.49, -0.46), 1.0),
        _corner_cusp(1, -1, (0.46, -0.46), 0.965),
        _corner_cusp(-1, 1, (-0.48, 0.46), 0.99),
        _corner_cusp(1, 1, (0.45, 0.46), 0.95),
    ),
    (Ridge((-0.42, -0.38, 0.88), (-0.06, 0.0, 0.79), 0.17), Ridge((0.38, 0.38, 0.85), (0.06, 0.0, 0.78), 0.17)),
    (0.83, 0.78),
)
UPPER_FIRST_MOLAR = _molar(
    (
        _corner_cusp(-1, -1, (-0.47, -0.48), 1.0),
        _corner_cusp(1, -1, (0.43, -0.46), 0.955),
        Cusp((-0.38, 0.36), 0.58, (-0.36, 0.42), 0.985),
        _corner_cusp(1, 1, (0.50, 0.48), 0.885),
    ),
    (Ridge((-0.25, 0.34, 0.86), (0.34, -0.34, 0.84), 0.18),),
    (0.83, 0.78),
)
UPPER_MOLAR = _molar(
    (
        _corner_cusp(-1, -1, (-0.46, -0.48), 1.0),
        _corner_cusp(1, -1, (0.45, -0.45), 0.935),
        Cusp((-0.34, 0.36), 0.60, (-0.30, 0.42), 0.965),
        _corner_cusp(1, 1, (0.52, 0.44), 0.83),
    ),
    (Ridge((-0.20, 0.34, 0.84), (0.36, -0.32, 0.82), 0.18),),
    (0.82, 0.76),
)


def _premolar(buccal_tip: float, lingual_tip: tuple[float, float], lingual_height: float) -> CrownForm:
    """Two cusps, the buccal one the higher."""
    low = min(0.79, lingual_height)
    return CrownForm(
        PREMOLAR_LEVELS, (0.52, 0.52), 0.90,
        (
            Cusp((0.0, -0.26), 0.87, (0.0, buccal_tip), 1.0, 0.64),
            Cusp((-0.02, 0.28), 0.82, lingual_tip, lingual_height, 0.64),
        ),
        (*_contacts(low, low - 0.02, 0.12, 0.42), Ridge((0.0, buccal_tip + 0.1, 0.88), (0.0, 0.1, 0.76), 0.22)),
        (0.86, min(0.79, lingual_height + 0.02)),
    )  # fmt: skip


UPPER_FIRST_PREMOLAR = _premolar(-0.46, (-0.10, 0.46), 0.92)
UPPER_SECOND_PREMOLAR = _premolar(-0.45, (-0.05, 0.46), 0.965)
LOWER_FIRST_PREMOLAR = _premolar(-0.30, (-0.10, 0.52), 0.74)
LOWER_SECOND_PREMOLAR = _premolar(-0.38, (-0.16, 0.48), 0.90)


def _incisor(corner_widths: tuple[float, float], corner_shift: float, lean: float, enamel: float) -> CrownForm:
    """A wedge with a lingual bulge near the neck; its edge lies `lean` buccal of the middle.

    `corner_widths` and `corner_shift` say how wide the last two levels are and how far their middle lies mesially: a
    rounded distal corner.
    """
    near, last = corner_widths
    return CrownForm(
        (
            Level(0.0, 0.0, 0.0),
            Level(0.14, 0.25, 1.0, 0.0, 0.05),
            Level(0.45, 0.74, 0.66, 0.0, -0.11 * lean / 0.2),
            Level(0.79, 1.0, 0.32, 0.0, -lean),
            Level(0.94, near, 0.19, -0.4 * corner_shift, -lean),
            Level(1.0, last, 0.08, -corner_shift, -lean),
        ),
        (0.79, 0.14), enamel,
    )  # fmt: skip


UPPER_CENTRAL = _incisor((0.975, 0.80), 0.06, 0.20, 0.72)
UPPER_LATERAL = _incisor((0.93, 0.62), 0.09, 0.20, 0.62)
LOWER_INCISOR = _incisor((0.98, 0.84), 0.03, 0.10, 0.50)


def _canine(mesial_share: float, enamel: float) -> CrownForm:
    """Like an incisor with one cusp; its mesial contact lies higher than the distal one."""
    return CrownForm(
        (
            Level(0.0, 0.0, 0.0),
            Level(0.16, 0.32, 1.0, 0.0, 0.05),
            Level(0.46, 0.86, 0.72, 0.01, -0.08),
            Level(0.64, 1.0, 0.53, 0.0, -0.14),
            Level(0.73, mesial_share, 0.44, 0.98 * (mesial_share - 1), -0.15),
            Level(0.83, 0.66, 0.34, -0.10, -0.16),
            Level(0.95, 0.30, 0.21, -0.08, -0.17),
            Level(1.0, 0.08, 0.09, -0.07, -0.17),
        ),
        (0.64, 0.16), enamel,
    )  # fmt: skip


UPPER_CANINE = _canine(0.92, 0.80)
LOWER_CANINE = _canine(0.95, 0.72)

_UPPER = {
    1: UPPER_CENTRAL, 2: UPPER_LATERAL, 3: UPPER_CANINE, 4: UPPER_FIRST_PREMOLAR, 5: UPPER_SECOND_PREMOLAR,
    6: UPPER_FIRST_MOLAR, 7: UPPER_MOLAR, 8: UPPER_MOLAR,
}  # fmt: skip
_LOWER = {
    1: LOWER_INCISOR, 2: LOWER_INCISOR, 3: LOWER_CANINE, 4: LOWER_FIRST_PREMOLAR, 5: LOWER_SECOND_PREMOLAR,
    6: LOWER_FIRST_MOLAR, 7: LOWER_MOLAR, 8: LOWER_MOLAR,
}  # fmt: skip


def form_of(number: int) -> CrownForm:
    """The form of a crown by its two-digit designation."""
    return (_UPPER if number // 10 in (1, 2) else _LOWER)[number % 10]
