"""Crowns: natural, prepared, restored, or a bridge's pontic.

A crown stands on its own axis and starts at the plane of the tooth's neck, so a crown set upright on a tilted root has
one long side and one short side. What lies below a layer is the same solid with all its half widths and radii lessened
by the layer's thickness, and ends where it has become as thin as a horn.
"""

from dataclasses import dataclass
from itertools import pairwise
from typing import Literal

import numpy as np

from casebank.anatomy import Crown
from casebank.radiograph import priority
from casebank.radiograph.crown_forms import CUSP_FOOT, CrownForm, Cusp, Level, Ridge, form_of
from casebank.radiograph.materials import Material
from casebank.radiograph.prisms import RoundedSection, between, corners
from casebank.radiograph.shapes import Array, Frame, Piece, Slab, chain, ellipsoid, frustum, round_cone

RestorationMaterial = Literal["metal", "metal-ceramic", "ceramic"]

ALMOST_STRAIGHT_MM = 0.02  # rise of the neck's plane over the crown's half width that nobody sees
FOOT_SINKS, TIP_SINKS = 0.5, 1.2  # how far under a layer a cusp's foot and tip lie lower, over its thickness
DOME_BELOW = 0.09  # the middle of the dome below the cusps' feet, share of the height
PONTIC_FROM = 0.25  # share of the height from which a pontic is like other crowns
THINNEST_MM = 0.05  # radius of a corner
HORN_MM = 0.2  # a lessened cusp or edge ends where its radius falls to this
# heights of a cusp over that of its base, and its radius there over that at its base: convex, then blunt
CUSP_PROFILE = ((0.0, 1.0), (0.42, 0.72), (0.80, 0.38), (1.0, 0.14))


@dataclass(frozen=True)
class Layer:
    """How far a layer lies under the crown's surface, mm, at shares of the height."""

    shares: tuple[float, ...]
    depths_mm: tuple[float, ...]

    def depth_mm(self, share: float) -> float:
        return float(np.interp(share, self.shares, self.depths_mm))

    def scaled(self, by: float) -> "Layer":
        """The same layer, thicker or thinner."""
        return Layer(self.shares, tuple(by * depth for depth in self.depths_mm))


SURFACE = Layer((0.0, 1.0), (0.0, 0.0))
# thicknesses: textbook ranges (from memory), single values a teaching choice
UNDER_ENAMEL = Layer((0.0, 0.10, 0.26, 0.50, 0.75, 1.0), (0.0, 0.25, 0.70, 1.15, 1.40, 1.50))
UNDER_CERAMIC = Layer((0.0, 0.07, 0.18, 0.45, 1.0), (0.0, 0.05, 0.55, 0.95, 1.05))
UNDER_CROWN = Layer((0.0, 0.07, 0.18, 0.45, 1.0), (0.25, 0.45, 1.00, 1.40, 1.60))
UNDER_PONTIC = Layer((0.0, 1.0), (0.9, 1.0))


def natural(crown: Crown, number: int, neck: Frame) -> list[Piece]:
    """Enamel over a core of dentine; the enamel thins out to nothing at the neck."""
    form = form_of(number)
    build = _Builder(crown, form, neck)
    under = UNDER_ENAMEL.scaled(form.enamel)
    return build.solid(SURFACE, Material.ENAMEL, priority.ENAMEL) + build.solid(
        under, Material.DENTINE, priority.DENTINE
    )


def restored(crown: Crown, number: int, neck: Frame, material: RestorationMaterial, margin_mm: float) -> list[Piece]:
    """A crown of the given material on a prepared stump; between neck and margin the tooth is bare."""
    form = form_of(number)
    build = _Builder(crown, form, neck, margin_mm)
    outer = Material.METAL if material == "metal" else Material.CERAMIC
    pieces = build.solid(SURFACE, outer, priority.CROWN)
    if material == "metal-ceramic":
        pieces += build.solid(UNDER_CERAMIC, Material.METAL, priority.COPING)
    pieces += _Builder(crown, form, neck).solid(UNDER_CROWN, Material.DENTINE, priority.STUMP)
    half, flattening = crown.neck_mesiodistal_mm / 2, crown.neck_buccolingual_mm / crown.neck_mesiodistal_mm
    ends = ((0.0, 0.0, -0.4), (0.0, 0.0, max(margin_mm, -0.3)))
    return [*pieces, frustum(Material.DENTINE, priority.DENTINE, ends, (half, half), neck, flattening=flattening)]


def pontic(crown: Crown, number: int, neck: Frame, material: RestorationMaterial) -> list[Piece]:
    """A crown without a root, its underside rounded; under ceramic a core of metal."""
    build = _Builder(crown, form_of(number), neck, hangs=True)
    outer = Material.METAL if material == "metal" else Material.CERAMIC
    pieces = build.solid(SURFACE, outer, priority.CROWN)
    if material == "metal-ceramic":
        pieces += build.solid(UNDER_PONTIC, Material.METAL, priority.COPING)
    return pieces


def connector(first: Array, second: Array) -> list[Piece]:
    """The metal that joins two units of a bridge, between two points of the jaw: waisted half-way."""
    radii = np.array([1.75, 1.3, 1.0, 1.3, 1.75])
    line = first + np.array([0.0, 0.36, 0.5, 0.64, 1.0])[:, None] * (second - first)
    return chain(Material.METAL, priority.CONNECTOR, line, radii)


def crown_frame(crown: Crown, neck: Frame) -> Frame:
    """The crown's own frame: that of its roots, leant by the angles the crown departs from them."""
    return neck.leaning(crown.off_root_mesiodistal_deg, crown.off_root_buccolingual_deg)


def above(neck: Frame, height_mm: float) -> Slab:
    """Everything more than `height_mm` above the plane of a neck."""
    up = neck.axes[:, 2]
    return Slab(up, low_mm=float(up @ neck.at_mm) + height_mm)


@dataclass(frozen=True)
class _Builder:
    """Solids of one crown from `margin_mm` above its neck's plane; one that hangs has no neck and is round below."""

    crown: Crown
    form: CrownForm
    neck: Frame
    margin_mm: float = 0.0
    hangs: bool = False

    def solid(self, layer: Layer, material: Material, rank: float) -> list[Piece]:
        """All that lies below one layer."""
        pieces = self._body(layer, material, rank)
        for cusp in self.form.cusps:
            pieces += self._cusp(cusp, layer, material, rank)
        if layer is SURFACE or material is not Material.DENTINE:  # under enamel nobody can tell a ridge
            for ridge in self.form.ridges:
                pieces += self._ridge(ridge, layer, material, rank)
        return pieces + self._dome(layer, material, rank)

    @property
    def _scale(self) -> Array:
        return np.array([self.crown.mesiodistal_mm / 2, self.crown.buccolingual_mm / 2, self.crown.height_mm])

    @property
    def _lean(self) -> Array:
        return np.array([self.crown.off_root_mesiodistal_deg, self.crown.off_root_buccolingual_deg])

    @property
    def _flattening(self) -> float:
        crown = self.crown
        return crown.neck_buccolingual_mm / crown.neck_mesiodistal_mm

    @property
    def _aslant_mm(self) -> float:
        """How far the neck's plane rises over the crown's half widths, seen along the crown's axis."""
        return float(np.abs(self._scale[:2]) @ np.tan(np.radians(np.abs(self._lean))))

    def _depth_mm(self, layer: Layer, share: float) -> float:
        """How deep a layer lies at a share of the height; it begins where the whole neck is passed."""
        begins = min(0.15, self._aslant_mm / self.crown.height_mm)
        return layer.depth_mm((share - begins) / (1 - begins))

    def _at_share(self, share: float) -> Level:
        """The level at a share of the height, between those of the form."""
        levels = self.form.levels
        known = [level.z for level in levels]
        x, y = (
            np.interp(share, known, [self._half_mm(level, axis) for level in levels])
            / self._scale[0 if axis == "x" else 1]
            for axis in ("x", "y")
        )
        shift_x = float(np.interp(share, known, [level.shift_x for level in levels]))
        shift_y = float(np.interp(share, known, [level.shift_y for level in levels]))
        roundness = float(np.interp(share, known, [level.roundness for level in levels]))
        return Level(share, float(x), float(y), shift_x, shift_y, roundness)

    def _half_mm(self, level: Level, axis: str) -> float:
        crown = self.crown
        # seen along a crown that leans off it, the neck is foreshortened
        seen = np.cos(np.radians(self._lean[0 if axis == "x" else 1]))
        neck, greatest, share, peak = (
            (crown.neck_mesiodistal_mm * seen, crown.mesiodistal_mm, level.x, self.form.greatest_at[0])
            if axis == "x"
            else (crown.neck_buccolingual_mm * seen, crown.buccolingual_mm, level.y, self.form.greatest_at[1])
        )
        return (neck + share * (greatest - neck) if level.z <= peak else share * greatest) / 2

    def _body(self, layer: Layer, material: Material, rank: float) -> list[Piece]:
        """The stack of rounded sections, square to the crown's axis; its foot is cut along the plane of the neck."""
        form, height = self.form, self.crown.height_mm
        axis = crown_frame(self.crown, self.neck)
        aslant = self._aslant_mm
        first = PONTIC_FROM if self.hangs else (self.margin_mm + aslant) / height
        shares = [first] + [level.z for level in form.levels if level.z > first + 0.02]
        sections = [self._section(self._at_share(share), layer) for share in shares]
        if form.levels[-1].z == CUSP_FOOT:
            sections[-1] = sections[-1].lowered(FOOT_SINKS * self._depth_mm(layer, CUSP_FOOT))
        pieces: list[Piece] = []
        for low, high in pairwise(sections):
            if min(low.half_x, low.half_y) <= HORN_MM:
                break
            thin = min(high.half_x, high.half_y)
            if thin <= HORN_MM:  # the edge has become as thin as a horn on the way
                share = (min(low.half_x, low.half_y) - HORN_MM) / (min(low.half_x, low.half_y) - thin)
                high = low.toward(high, max(share, 0.05))  # noqa: PLW2901
            pieces += between(material, rank, low, high, axis, flattening=self._flattening)
        if self.hangs:
            half_axes = (sections[0].half_x, sections[0].half_y, 0.9 * first * height)
            return [*pieces, ellipsoid(material, rank, sections[0].centre, half_axes, axis)]
        if aslant < ALMOST_STRAIGHT_MM:
            return pieces
        return pieces + self._foot((self.margin_mm - aslant) / height, sections[0], layer, material, rank)

    def _foot(self, share: float, top: RoundedSection, layer: Layer, material: Material, rank: float) -> list[Piece]:
        """From below the neck up to the first whole section: an oval frustum and its corners, cut along the neck."""
        axis, slab = crown_frame(self.crown, self.neck), above(self.neck, self.margin_mm)
        low = self._section(self._at_share(share), layer)
        ends, radii = (low.centre, top.centre), (low.half_x, top.half_x)
        flattening = min(low.half_y / low.half_x, top.half_y / top.half_x)
        oval = frustum(material, rank, ends, radii, axis, flattening=flattening).cut(slab)
        return [oval] + [
            piece.cut(slab) for piece in corners(material, rank, low, top, axis, flattening=self._flattening)
        ]

    def _section(self, level: Level, layer: Layer) -> RoundedSection:
        """The section at a level below a layer, in the crown's frame."""
        depth = self._depth_mm(layer, level.z)
        whole_x, whole_y = level.x * self._scale[0], level.y * self._scale[1]
        half_x, half_y = whole_x - depth, whole_y - depth * min(1.0, 1.1 * whole_y / whole_x)
        corner = max(min(level.roundness * half_x, half_y / self._flattening), THINNEST_MM)
        centre = np.array([level.shift_x, level.shift_y, level.z]) * self._scale
        return RoundedSection(centre, half_x, half_y, corner)

    def _cusp(self, cusp: Cusp, layer: Layer, material: Material, rank: float) -> list[Piece]:
        own = crown_frame(self.crown, self.neck)
        depth = self._depth_mm(layer, CUSP_FOOT)
        within = (self._scale[0] - depth) / self._scale[0]
        sides = self._scale * [within, within, 1.0]
        base = np.array([*cusp.base, CUSP_FOOT]) * sides - [0.0, 0.0, FOOT_SINKS * depth]
        tip = np.array([*cusp.tip, cusp.height]) * sides - [0.0, 0.0, TIP_SINKS * depth]
        places = [base + up * (tip - base) for up, _ in CUSP_PROFILE]
        radii = [cusp.radius * share * sides[0] for _, share in CUSP_PROFILE]
        flattening = float(self._scale[1] / self._scale[0]) * cusp.depth
        pieces = []
        for (p, r), (q, s) in pairwise(zip(places, radii, strict=True)):
            if r <= HORN_MM:
                break
            if s < HORN_MM:
                q, s = p + (r - HORN_MM) / (r - s) * (q - p), HORN_MM  # noqa: PLW2901
            pieces.append(frustum(material, rank, (p, q), (r, s), own, flattening=flattening))
        return pieces

    def _ridge(self, ridge: Ridge, layer: Layer, material: Material, rank: float) -> list[Piece]:
        own = crown_frame(self.crown, self.neck)
        radius = ridge.radius * self._scale[0]
        less = radius - self._depth_mm(layer, ridge.start[2])
        if less <= HORN_MM:
            return []
        ends = [np.array(end) * self._scale - [0.0, 0.0, radius] for end in (ridge.start, ridge.end)]
        return [round_cone(material, rank, (ends[0], ends[1]), (less, less), own)]

    def _dome(self, layer: Layer, material: Material, rank: float) -> list[Piece]:
        """What closes the top between the cusps."""
        width, top = self.form.dome
        if width == 0:
            return []
        start, height = CUSP_FOOT - DOME_BELOW, self._scale[2]
        depth = self._depth_mm(layer, CUSP_FOOT)
        half = np.array([*(width * (self._scale[:2] - depth)), (top - start) * height - 0.4 * depth])
        at = np.array([0.0, 0.0, start * height - FOOT_SINKS * depth])
        return [ellipsoid(material, rank, at, np.maximum(half, 0.1), crown_frame(self.crown, self.neck))]
