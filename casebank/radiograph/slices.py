"""Sections of a limited cone-beam volume, computed from the pieces a film is computed from: grey, blur and noise."""

import io
from dataclasses import dataclass
from functools import cached_property

import numpy as np
from numpy.typing import NDArray
from PIL import Image, PngImagePlugin
from scipy import ndimage

from casebank.anatomy import Anatomy
from casebank.radiograph import metal_streaks
from casebank.radiograph.materials import Material, attenuation
from casebank.radiograph.pieces import pieces_of
from casebank.radiograph.rod import Rod
from casebank.radiograph.sections import Grid, Shares, material_shares
from casebank.radiograph.slice_planes import Cut, Sides, Volume, grid_of, in_words
from casebank.radiograph.trabeculae import trabeculae

Picture = NDArray[np.float32]

EFFECTIVE_BIN = 4  # the table's highest bin: near a filtered 90 kV beam's effective energy, a teaching choice
BLUR_MM = 0.12  # one standard deviation, in the section's plane: a teaching choice
NOISE_PER_MM = 0.0042  # standard deviation in one voxel of the usual volume, before its grain: a teaching choice
GRAIN_PX = 0.7
WHITE_PER_MM = 0.138  # attenuation shown as white, a little above enamel's; black is air


@dataclass(frozen=True, eq=False)
class Slice:
    """One section as it is shown.

    Attributes
    ----------
    shares : array, shape (rows, columns, materials)
        How much of each voxel each material fills, before blur and noise.
    per_mm : array, shape (rows, columns)
        Attenuation with blur, streaks and noise, 1/mm.
    inside : array, shape (rows, columns)
        Whether a voxel lies in the volume; the others are black.
    """

    shares: Shares
    per_mm: Picture
    inside: NDArray[np.bool_]
    cut: Cut
    volume: Volume
    grid: Grid
    sides: Sides
    words: str

    @cached_property
    def pixels(self) -> NDArray[np.uint8]:
        """The picture, shape (rows, columns): black air, white metal and enamel."""
        shade = np.clip(self.per_mm / np.float32(WHITE_PER_MM), 0, 1)
        return np.where(self.inside, (shade * 250 + 4).astype(np.uint8), np.uint8(0))

    def png(self) -> bytes:
        """The picture with its warning, its place and its sides as text; nothing in it names a canal or an answer."""
        about = PngImagePlugin.PngInfo()
        about.add_text("Title", "Synthetic teaching image")
        about.add_text("Warning", "Invented anatomy, not for patient care")
        about.add_text("Section", self.words)
        out = io.BytesIO()
        dots_per_inch = 25.4 / self.grid.pitch_mm
        Image.fromarray(self.pixels).save(out, "PNG", pnginfo=about, dpi=(dots_per_inch, dots_per_inch))
        return out.getvalue()


def take_slice(
    anatomy: Anatomy,
    cut: Cut,
    volume: Volume | None = None,
    rods: tuple[Rod, ...] = (),
    *,
    seed: int = 0,
    noise: bool = True,
    streaks: bool = True,
    threads: int = 2,
) -> Slice:
    """One section of a limited volume.

    Parameters
    ----------
    volume : Volume
        40 by 40 mm in voxels of 0.15 mm, if left out.
    rods : tuple of Rod
        What stands in the canals; the later one wins where two overlap.
    noise, streaks : bool
        Whether noise is added (the same seed gives the same), and in axial sections the streaks that metal leaves.

    Raises
    ------
    ValueError
        If the plane does not meet the volume.
    """
    volume = volume or Volume()
    grid, sides = grid_of(anatomy, cut, volume)
    shares, marrow = material_shares(
        pieces_of(anatomy, tuple(rods)), grid, cut.thickness_mm, trabeculae(anatomy.bone.seed), threads=threads
    )
    per_material = attenuation().mu_per_mm[:, EFFECTIVE_BIN].astype(np.float32)
    patterned = np.float32(anatomy.bone.contrast) * (marrow - shares[..., Material.CANCELLOUS])
    per_mm = shares @ per_material + per_material[Material.CANCELLOUS] * patterned
    blur_px = BLUR_MM / grid.pitch_mm
    per_mm = ndimage.gaussian_filter(per_mm, blur_px, truncate=3.0)
    if streaks and cut.plane == "axial":
        per_mm = per_mm + metal_streaks.streaks(shares, grid.pitch_mm)
    if noise:
        per_mm = per_mm + _grain(seed, per_mm.shape, cut, volume)
    return Slice(
        shares, per_mm.astype(np.float32), _inside(cut, volume, grid), cut, volume, grid, sides,
        in_words(anatomy, cut, volume, sides, BLUR_MM),
    )  # fmt: skip


def _inside(cut: Cut, volume: Volume, grid: Grid) -> NDArray[np.bool_]:
    """Voxels within the cylinder."""
    right = (np.arange(grid.columns) + 0.5 - grid.columns / 2) * grid.pitch_mm
    down = (np.arange(grid.rows) + 0.5 - grid.rows / 2) * grid.pitch_mm
    off = down if cut.plane == "axial" else np.full(grid.rows, cut.at_mm)
    return np.asarray(np.hypot(right[None, :], off[:, None]) <= volume.width_mm / 2)


def _grain(seed: int, shape: tuple[int, ...], cut: Cut, volume: Volume) -> Picture:
    """Noise whose neighbours are partly the same: less of it in thick sections and large voxels."""
    random = np.random.default_rng(seed)
    raw = ndimage.gaussian_filter(random.standard_normal(shape, dtype=np.float32), GRAIN_PX, truncate=3.0)
    usual = Volume()
    fewer = (usual.voxel_mm / volume.voxel_mm) * np.sqrt(usual.voxel_mm / max(cut.thickness_mm, volume.voxel_mm))
    return np.asarray(raw / raw.std() * np.float32(NOISE_PER_MM * fewer), dtype=np.float32)
