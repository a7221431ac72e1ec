"""Straight ways a shaft may take into a canal: along its coronal axis, or leant off it to any side."""

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from casebank.anatomy.access_block import AccessBlock, Tissue
from casebank.anatomy.access_rim import may_be_opened
from casebank.anatomy.canal import Canal

CORONAL_MM = 2.0  # over which the coronal axis is taken, as in `curvature.measure`
LEANS_DEG = np.r_[1.0:21.0, 22.0:46.0:2.0]
TURNS_DEG = np.arange(0.0, 360.0, 15.0)
STEP_MM = 0.3  # between the levels at which a way is looked at
FROM_MM = 0.4  # above the orifice
LEAST_RISE = 0.2  # of a way along the bur; a flatter one is none


@dataclass(frozen=True, eq=False)
class CanalWays:
    """Ways into one canal; the first is its own coronal axis, the others lean off it, the least first.

    Attributes
    ----------
    canal : Canal
    orifice : array, shape (3,)
        Distal, lingual and depth, mm.
    slope : array, shape (2,)
        Of the meant way: sideways per mm of depth.
    meant : int
        The least leant way that leaves ridges and edge standing; 0, the axis itself, where that one does.
    lean_deg : array, shape (k,)
    angle_deg : array, shape (k,)
        Between each way and the line from orifice to foramen: the canal access angle it leaves
        (Gunday, Sazak and Garip, J Endod 2005;31:796-798).
    column, cell : arrays, shape (k, m)
        The cells each way passes, from the orifice up.
    depth_mm : array, shape (m,)
    passable : array of bool, shape (k, m)
        Where it meets pulp, or has left the crown.
    """

    canal: Canal
    orifice: NDArray[np.float64]
    slope: NDArray[np.float64]
    meant: int
    lean_deg: NDArray[np.float64]
    angle_deg: NDArray[np.float64]
    column: NDArray[np.int32]
    cell: NDArray[np.int32]
    depth_mm: NDArray[np.float64]
    passable: NDArray[np.bool_]


def canal_ways(block: AccessBlock, tissue: NDArray[np.uint8], top_mm: NDArray[np.float64], canal: Canal) -> CanalWays:
    """All ways into a canal of a block, whose tissue is given by columns, shape (columns, n), with their tops."""
    line = block.tooth.centre_line(canal)
    orifice = block.in_columns(line[:1])[0]
    depth = np.linspace(0.0, canal.length_mm, len(line))
    end = np.array([np.interp(CORONAL_MM, depth, line[:, k]) for k in range(3)])
    axis = block.axes @ _unit(line[0] - end)
    lean, ways = _cone(axis)
    rising = ways[:, 2] > LEAST_RISE
    lean, ways = lean[rising], ways[rising]
    if not len(ways):
        raise ValueError(f"canal {canal.name} lies square to the bur: lean the bur less")
    root = block.axes @ _unit(line[0] - line[-1])
    levels = np.arange(FROM_MM, max(orifice[2] - block.first_mm, FROM_MM + STEP_MM), STEP_MM)
    slopes = ways[:, :2] / ways[:, 2:]
    across = orifice[:2] + slopes[:, None, :] * levels[None, :, None]
    depths = orifice[2] - levels
    column, cell = block.cell_of(np.dstack([across, np.broadcast_to(depths, across.shape[:2])]))
    met = tissue[column, cell]
    free = (met == Tissue.PULP) | ((met == Tissue.NOTHING) & (depths[None, :] < top_mm[column] + block.pitch_mm))
    meant = _meant(block, across, depths, top_mm[column])
    return CanalWays(
        canal,
        orifice,
        -slopes[meant],
        meant,
        lean,
        _angles_deg(ways, root),
        column.astype(np.int32),
        cell.astype(np.int32),
        depths,
        np.asarray(free),
    )


def _meant(
    block: AccessBlock, across: NDArray[np.float64], depths: NDArray[np.float64], top_mm: NDArray[np.float64]
) -> int:
    """Number of the first way that leaves the crown where it may be opened."""
    out = depths[None, :] < top_mm
    leaves = across[np.arange(len(across)), out.argmax(axis=1)]
    kept = out.any(axis=1) & may_be_opened(block.frame, block.on_map(leaves))
    return int(kept.argmax())


def _cone(axis: NDArray[np.float64]) -> tuple[NDArray[np.float64], NDArray[np.float64]]:
    """An axis and unit vectors leant off it to all sides: leans, shape (k,), degrees, and vectors, shape (k, 3)."""
    side = _unit(np.array([1.0, 0.0, 0.0]) - axis[0] * axis)
    lean = np.r_[0.0, np.repeat(LEANS_DEG, len(TURNS_DEG))]
    turn = np.radians(np.r_[0.0, np.tile(TURNS_DEG, len(LEANS_DEG))])[:, None]
    aside = np.cos(turn) * side + np.sin(turn) * np.cross(axis, side)
    off = np.radians(lean)[:, None]
    return lean, np.cos(off) * axis + np.sin(off) * aside


def _angles_deg(ways: NDArray[np.float64], root: NDArray[np.float64]) -> NDArray[np.float64]:
    return np.asarray(
        np.degrees(2 * np.arctan2(np.linalg.norm(ways - root, axis=1), np.linalg.norm(ways + root, axis=1)))
    )


def _unit(vector: NDArray[np.float64]) -> NDArray[np.float64]:
    return np.asarray(vector / np.linalg.norm(vector))
