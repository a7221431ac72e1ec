"""Films without noise, with and without one feature: what visibility is measured on.

One cut-out round the tooth serves every feature of a view; without a feature only the part round its shadow is made
again. Pixels are coarser than a film's: shadows are averaged over, never traced.
"""

from dataclasses import dataclass
from functools import lru_cache

import numpy as np
from numpy.typing import NDArray
from scipy import ndimage

from casebank.anatomy import Anatomy
from casebank.radiograph import exposure
from casebank.radiograph.features import TIP_MM, Feature
from casebank.radiograph.pieces import pieces_of
from casebank.radiograph.projection import path_lengths
from casebank.radiograph.rod import Rod
from casebank.radiograph.shapes import Piece
from casebank.radiograph.trabeculae import Trabeculae, even, trabeculae
from casebank.radiograph.view import Projection, Receptor, View, aim

Array = NDArray[np.float64]
Window = tuple[slice, slice]

PITCH_MM = 0.07
ROUND_MM = 2.5  # of the cut-out beyond the tooth and its lesions
BESIDE_MM, AROUND_MM = 0.6, 1.6  # beyond a feature's shadow: what is made again, and what is looked at
COARSE = (145, 110)  # pixels of the whole film that time and scatter are taken from
CLEAREST, DENSEST = exposure.DARKEST, exposure.DARKEST + 1.15 * (exposure.BRIGHTEST - exposure.DARKEST)


@dataclass(frozen=True, eq=False)
class Pair:
    """What one feature changes, on a part of the film.

    Attributes
    ----------
    change : array, shape (rows, columns)
        Log signal with the feature less that without it, where the display can show it; + = darker with it.
    level : array, same shape
        Signal with the feature, as a share of the open beam.
    pattern : array, same shape
        Log signal with the marrow's pattern less that of even marrow.
    receptor_pitch_mm : float
        Distance between two pixels of the receptor; here it is PITCH_MM.
    corner_mm : array, shape (2,)
        Where the part's top left corner lies from the film's centre, right and down.
    """

    change: Array
    level: Array
    pattern: Array
    receptor_pitch_mm: float
    corner_mm: Array

    def to_px(self, film_mm: Array) -> Array:
        """Film places, shape (n, 2), mm from its centre, as pixels right and down from the part's corner."""
        return np.asarray((film_mm - self.corner_mm) / PITCH_MM)


@lru_cache(maxsize=16)
def exposed_pair(
    anatomy: Anatomy, view: View, feature: Feature, receptor: Receptor, rods: tuple[Rod, ...]
) -> Pair | None:
    """The films of a feature; none if less than half of its shadow lies in the picture or there is no such thing.

    Raises
    ------
    ValueError
        If the receptor would stand in tooth or bone.
    """
    ground = _ground(anatomy, view, receptor, rods)
    bare = pieces_of(anatomy, rods, without=feature)
    own = _only_in_one(pieces_of(anatomy, rods), bare)
    if not own:
        return None
    reach = _tip(anatomy, feature.name) if feature.kind == "apex" else np.concatenate([one.corners_mm for one in own])
    seen = ground.whole.to_film_mm(reach)
    low, high = seen.min(axis=0), seen.max(axis=0)
    edge = np.array([receptor.width_px, receptor.height_px]) * receptor.pitch_mm / 2
    inside = np.minimum(high, edge) - np.maximum(low, -edge)
    if (inside <= 0).any() or inside.prod() < 0.5 * (high - low).prod():
        return None
    near, around = (ground.window(low - beyond, high + beyond) for beyond in (BESIDE_MM, AROUND_MM))
    if near is None or around is None:
        return None
    change = np.zeros(ground.level.shape)
    change[near] = ground.dark[near] - _dark(ground.film(bare, even(), 0.0, near))
    corner = ground.corner_mm + np.array([around[1].start, around[0].start]) * PITCH_MM
    return Pair(change[around], ground.level[around], ground.pattern[around], receptor.pitch_mm, corner)


@dataclass(frozen=True, eq=False)
class _Ground:
    """The cut-out round a tooth in one view, with everything in it."""

    whole: Projection
    corner_mm: Array
    light: "_Light"
    level: Array
    pattern: Array

    @property
    def dark(self) -> Array:
        return _dark(self.level)

    def window(self, low_mm: Array, high_mm: Array) -> Window | None:
        """The rows and columns between two corners on the film; none if too few lie in the cut-out."""
        size = np.array(self.level.shape[::-1])
        first = np.clip(np.floor((low_mm - self.corner_mm) / PITCH_MM).astype(int), 0, size)
        last = np.clip(np.ceil((high_mm - self.corner_mm) / PITCH_MM).astype(int), 0, size)
        if (last - first < 3).any():
            return None
        return slice(int(first[1]), int(last[1])), slice(int(first[0]), int(last[0]))

    def film(self, pieces: tuple[Piece, ...], marrow: Trabeculae, contrast: float, window: Window) -> Array:
        """Signal in a window: timed, veiled and blurred as the whole film is, without noise."""
        return _film(self.whole, self.corner_mm, self.light, pieces, marrow, contrast, window)


@dataclass(frozen=True, eq=False)
class _Light:
    """What the whole film gives to each of its parts: scatter on a coarse grid, and the exposure's time."""

    veil: Array
    pitch_mm: float
    time: float

    def scattered(self, first_mm: Array, receptor: Receptor) -> Array:
        """Scatter on the pixels of a part whose corner lies at `first_mm` from the film's centre."""
        places = [
            (first_mm[axis] + (np.arange(count) + 0.5) * PITCH_MM) / self.pitch_mm + self.veil.shape[1 - axis] / 2 - 0.5
            for axis, count in ((1, receptor.height_px), (0, receptor.width_px))
        ]
        grid = np.meshgrid(*places, indexing="ij")
        return np.asarray(ndimage.map_coordinates(self.veil, grid, order=1, mode="nearest"))


@lru_cache(maxsize=16)
def _ground(anatomy: Anatomy, view: View, receptor: Receptor, rods: tuple[Rod, ...]) -> _Ground:
    whole = aim(view, receptor, anatomy)
    pieces = pieces_of(anatomy, rods)
    pitch = max(receptor.width_px * receptor.pitch_mm / COARSE[0], receptor.height_px * receptor.pitch_mm / COARSE[1])
    plain = exposure.transmission(path_lengths(pieces, aim(view, Receptor(*COARSE, pitch), anatomy), even()))
    timed = exposure.timed(plain)
    veil = ndimage.gaussian_filter(timed.astype(np.float64), exposure.SCATTER_MM / pitch, mode="nearest")
    light = _Light(veil, pitch, float(timed.sum() / plain.sum()))
    seen = whole.to_film_mm(_extent(anatomy))
    edge = np.array([receptor.width_px, receptor.height_px]) * receptor.pitch_mm / 2
    low = np.clip(seen.min(axis=0) - ROUND_MM, -edge, edge - 64 * PITCH_MM)
    high = np.clip(seen.max(axis=0) + ROUND_MM, low + 64 * PITCH_MM, edge)
    columns, rows = np.floor((high - low) / PITCH_MM + 1e-6).astype(int).tolist()
    full = (slice(0, rows), slice(0, columns))
    level = _film(whole, low, light, pieces, even(), 0.0, full)
    marrow = _film(whole, low, light, pieces, trabeculae(anatomy.bone.seed), anatomy.bone.contrast, full)
    return _Ground(whole, low, light, level, _dark(marrow) - _dark(level))


def _extent(anatomy: Anatomy) -> Array:
    """Points round crown, tips and lesions, shape (n, 3), jaw frame, mm."""
    tooth = anatomy.tooth
    side = np.array([tooth.crown.mesiodistal_mm / 2, 0.0, 0.0])
    neck = anatomy.placement.to_jaw(np.array([-side, side, [0.0, 0.0, tooth.crown.height_mm]]))
    tips = {root.name: anatomy.placement.to_jaw(root.apex_mm[np.newaxis])[0] for root in tooth.roots}
    reach = [
        tips[lost.root] + np.array([across * lost.mesiodistal_mm, 0.0, -lost.height_mm])
        for lost in anatomy.lesions
        for across in (-0.5, 0.5)
    ]
    return np.array([*neck, *tips.values(), *reach])


def _tip(anatomy: Anatomy, root: str) -> Array:
    """Points round the last part of a root, shape (2, 3), jaw frame, mm."""
    tip = anatomy.placement.to_jaw(anatomy.tooth.root(root).apex_mm[np.newaxis])
    return np.vstack([tip - 1.5 * TIP_MM, tip + 1.5 * TIP_MM])


def _film(
    whole: Projection,
    corner: Array,
    light: _Light,
    pieces: tuple[Piece, ...],
    marrow: Trabeculae,
    contrast: float,
    window: Window,
) -> Array:
    rows, columns = (part.stop - part.start for part in window)
    receptor = Receptor(max(64, columns), max(64, rows), PITCH_MM)
    first = corner + np.array([window[1].start, window[0].start]) * PITCH_MM
    middle = first + np.array([receptor.width_px, receptor.height_px]) * PITCH_MM / 2
    centre = whole.centre_mm + middle[0] * whole.right + middle[1] * whole.down
    cut = Projection(whole.source_mm, centre, whole.right, whole.down, whole.normal, receptor)
    plain = exposure.transmission(path_lengths(pieces, cut, marrow, contrast)).astype(np.float64) * light.time
    mixed = (1 - exposure.SCATTER_SHARE) * plain + exposure.SCATTER_SHARE * light.scattered(first, receptor)
    blurred = ndimage.gaussian_filter(mixed, exposure.BLUR_MM / PITCH_MM, mode="nearest")
    return np.asarray(np.maximum(blurred, exposure.LEAST)[:rows, :columns])


def _dark(film: Array) -> Array:
    """Log signal as the display can show it."""
    return np.asarray(-np.clip(-np.log(film), CLEAREST, DENSEST))


def _only_in_one(first: tuple[Piece, ...], second: tuple[Piece, ...]) -> list[Piece]:
    one, other = ({_mark(piece): piece for piece in pieces} for pieces in (first, second))
    return [piece for mark, piece in (*one.items(), *other.items()) if (mark in one) != (mark in other)]


def _mark(piece: Piece) -> tuple[object, ...]:
    """What makes a piece what it is."""
    arrays = (piece.to_local, piece.at_mm, piece.b, piece.slab.normal)
    numbers = (piece.kind, piece.material, piece.priority, piece.ra, piece.rb, piece.slab.low_mm, piece.slab.high_mm)
    return (*numbers, *(array.tobytes() for array in arrays))
