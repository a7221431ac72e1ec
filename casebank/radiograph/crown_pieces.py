"""Crowns: natural, prepared, restored, or a bridge's pontic.

A crown stands on its own axis and starts at the plane of the tooth's neck, so a crown set upright on a tilted root has
one long side and one short side. Its body is a stack of frustums, its cusps are round cones.
"""

from dataclasses import dataclass, replace
from typing import Literal

import numpy as np
from scipy.interpolate import PchipInterpolator

from casebank.anatomy import Crown
from casebank.radiograph import priority
from casebank.radiograph.crown_forms import CrownForm, form_of
from casebank.radiograph.materials import Material
from casebank.radiograph.shapes import NO_SLAB, Array, Frame, Piece, Slab, chain, ellipsoid, frustum, round_cone

RestorationMaterial = Literal["metal", "metal-ceramic", "ceramic"]

UPRIGHT_SHARE = 0.5  # of the height, over which the sections turn from the neck's plane to the crown's own
CORE_UNDER_MM = 1.2  # ceramic under the metal core of a pontic


@dataclass(frozen=True)
class Layer:
    """How far a layer lies under the crown's surface, mm: at shares of the height, and at the cusps' tips."""

    shares: tuple[float, ...]
    depths_mm: tuple[float, ...]
    cusp_mm: float

    def depth_mm(self, share: Array) -> Array:
        return np.interp(share, self.shares, self.depths_mm)


SURFACE = Layer((0.0, 1.0), (0.0, 0.0), 0.0)
# thicknesses: textbook ranges (from memory), single values a teaching choice
UNDER_ENAMEL = Layer((0.0, 0.12, 0.35, 0.60, 1.0), (0.0, 0.35, 0.85, 1.15, 1.25), 1.7)
UNDER_THIN_ENAMEL = Layer((0.0, 0.12, 0.35, 0.60, 1.0), (0.0, 0.20, 0.45, 0.65, 0.70), 1.2)
UNDER_CERAMIC = Layer((0.0, 0.07, 0.18, 0.45, 1.0), (0.0, 0.05, 0.55, 0.95, 1.05), 1.5)
UNDER_CROWN = Layer((0.0, 0.07, 0.18, 0.45, 1.0), (0.25, 0.45, 1.00, 1.40, 1.70), 2.6)


def natural(crown: Crown, place: int, neck: Frame) -> list[Piece]:
    """Enamel over a core of dentine; the enamel thins out to nothing at the neck."""
    form = form_of(place)
    build = _Builder(crown, form, neck)
    cover = UNDER_THIN_ENAMEL if form.cap == 0 else UNDER_ENAMEL
    enamel = build.solid(SURFACE, Material.ENAMEL, priority.ENAMEL, above(neck, 0.0))
    return enamel + build.solid(cover, Material.DENTINE, priority.DENTINE, above(neck, -0.4))


def restored(crown: Crown, place: int, neck: Frame, material: RestorationMaterial, margin_mm: float) -> list[Piece]:
    """A crown of the given material on a prepared stump; between neck and margin the tooth is bare."""
    build = _Builder(crown, form_of(place), neck, even=True)
    margin = above(neck, margin_mm)
    outer = Material.METAL if material == "metal" else Material.CERAMIC
    pieces = build.solid(SURFACE, outer, priority.CROWN, margin)
    if material == "metal-ceramic":
        pieces += build.solid(UNDER_CERAMIC, Material.METAL, priority.COPING, margin)
    stump = build.body(UNDER_CROWN, Material.DENTINE, priority.STUMP, above(neck, -0.4))
    half, flattening = crown.neck_mesiodistal_mm / 2, crown.neck_buccolingual_mm / crown.neck_mesiodistal_mm
    ends = ((0.0, 0.0, -0.4), (0.0, 0.0, margin_mm))
    bare = frustum(Material.DENTINE, priority.DENTINE, ends, (half, half), neck, flattening=flattening)
    return [*pieces, *stump, bare]


def pontic(crown: Crown, place: int, neck: Frame, material: RestorationMaterial) -> list[Piece]:
    """A crown without a root, its underside rounded; under ceramic a core of metal."""
    form = form_of(place).closed_below()
    outer = Material.METAL if material == "metal" else Material.CERAMIC
    pieces = _Builder(crown, form, neck, even=True).solid(SURFACE, outer, priority.CROWN)
    if material == "metal-ceramic":
        inside = replace(
            crown,
            height_mm=crown.height_mm - CORE_UNDER_MM,
            mesiodistal_mm=crown.mesiodistal_mm - 1.7,
            buccolingual_mm=crown.buccolingual_mm - 1.9,
        )
        raised = Frame(neck.axes, neck.to_jaw(np.array([0.0, 0.0, CORE_UNDER_MM])))
        core = _Builder(inside, form, raised, even=True)
        pieces += core.solid(Layer((0.0, 1.0), (0.0, 0.5), 1.2), Material.METAL, priority.COPING)
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
    """Solids of one crown.

    The section at the neck lies in the neck's plane; higher up the sections turn until they are square to the crown's
    own axis. `even` keeps one ratio of widths from neck to top: layers of metal then have no steps.
    """

    crown: Crown
    form: CrownForm
    neck: Frame
    even: bool = False

    def solid(self, layer: Layer, material: Material, rank: float, slab: Slab = NO_SLAB) -> list[Piece]:
        """Body and cusps below one layer, cut by a slab."""
        return self.body(layer, material, rank, slab) + [
            piece.cut(slab) for piece in self._cusps(layer, material, rank)
        ]

    def body(self, layer: Layer, material: Material, rank: float, slab: Slab = NO_SLAB) -> list[Piece]:
        """The crown up to its grooves or its edge; one more frustum for every degree it leans off its neck."""
        crown, form = self.crown, self.form
        lost_mm = layer.cusp_mm if form.cap == 0 else float(layer.depth_mm(np.array(form.shares[-1])))
        top = form.shares[-1] - lost_mm / crown.height_mm
        steps = form.steps + round(max(abs(crown.off_root_mesiodistal_deg), abs(crown.off_root_buccolingual_deg)))
        share = np.linspace(0.0, top, steps + 1)
        rx, ry = self._half_widths(share, layer)
        if self.even and form.cap > 0:
            ry = rx * crown.buccolingual_mm / crown.mesiodistal_mm
        axis = crown_frame(crown, self.neck)
        centres = axis.to_jaw(np.outer(share * crown.height_mm, [0.0, 0.0, 1.0]))
        pieces = [self._section(k, share, centres, rx, ry, material, rank).cut(slab) for k in range(steps)]
        if form.cap == 0:
            return pieces
        half_axes = (rx[-1], ry[-1], form.cap * crown.height_mm)
        cap = ellipsoid(material, rank, (0.0, 0.0, top * crown.height_mm), half_axes, axis)
        return [*pieces, cap.cut(slab)]

    def _half_widths(self, share: Array, layer: Layer) -> tuple[Array, Array]:
        """Half widths, mesio-distal and bucco-lingual, at shares of the height, below one layer."""
        crown, form = self.crown, self.form
        depth = layer.depth_mm(share)
        sizes = (
            (crown.neck_mesiodistal_mm, crown.mesiodistal_mm, form.mesiodistal),
            (crown.neck_buccolingual_mm, crown.buccolingual_mm, form.buccolingual),
        )
        halves = []
        for (neck, greatest, widths), peak in zip(sizes, form.greatest_at, strict=True):
            known = [
                neck + width * (greatest - neck) if at <= peak else width * greatest
                for at, width in zip(form.shares, widths, strict=True)
            ]
            halves.append(np.maximum(PchipInterpolator(form.shares, known)(share) / 2 - depth, 0.15))
        return halves[0], halves[1]

    def _section(
        self, k: int, share: Array, centres: Array, rx: Array, ry: Array, material: Material, rank: float
    ) -> Piece:
        """One frustum, square to the middle of its two planes and a little longer where those are not parallel."""
        turned = np.clip(share[k : k + 2] / UPRIGHT_SHARE, 0.0, 1.0)
        lean = np.array([self.crown.off_root_mesiodistal_deg, self.crown.off_root_buccolingual_deg])
        middle = self.neck.leaning(*(turned.mean() * lean).tolist())
        low, high = ((centres[k + n] - middle.at_mm) @ middle.axes for n in (0, 1))
        wedge = np.radians(np.abs(lean).max()) * (turned[1] - turned[0]) / 2 * rx[k]
        extra = wedge / max(float(high[2] - low[2]), 1e-6)
        below = 0.0 if k == 0 else extra
        ends = (low - below * (high - low), high + extra * (high - low))
        radii = (float(rx[k] - below * (rx[k + 1] - rx[k])), float(rx[k + 1] + extra * (rx[k + 1] - rx[k])))
        flattening = float((ry[k] + ry[k + 1]) / (rx[k] + rx[k + 1]))
        return frustum(material, rank, ends, radii, middle, flattening=flattening)

    def _cusps(self, layer: Layer, material: Material, rank: float) -> list[Piece]:
        crown, frame = self.crown, crown_frame(self.crown, self.neck)
        scale = np.array([crown.mesiodistal_mm, crown.buccolingual_mm, crown.height_mm])
        pieces = []
        for cusp in self.form.cusps:
            foot, tip = np.array(cusp.foot) * scale, np.array(cusp.tip) * scale
            flattening = cusp.flattening * crown.buccolingual_mm / crown.mesiodistal_mm
            under = float(layer.depth_mm(np.array([cusp.foot[2]]))[0])
            foot_mm = cusp.foot_radius * crown.mesiodistal_mm - under
            tip_mm = max(0.25, cusp.tip_radius * crown.mesiodistal_mm - 0.4 * layer.cusp_mm)
            foot[2] -= 0.5 * under
            tip[2] -= layer.cusp_mm + tip_mm
            if foot_mm > 0.2:
                pieces.append(round_cone(material, rank, (foot, tip), (foot_mm, tip_mm), frame, flattening=flattening))
        return pieces
