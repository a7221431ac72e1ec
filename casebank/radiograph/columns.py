"""What lies at which depth of columns cut through pieces: the first piece in falling priority that holds a cell."""

from collections.abc import Callable, Sequence

import numba
import numpy as np
from numpy.typing import NDArray

from casebank.radiograph import section_kernel as kernel
from casebank.radiograph.sections import KNOWN
from casebank.radiograph.shapes import Array, Piece

NOT_MET = 255
MOST_CELLS = 6_000_000


def column_labels(
    pieces: Sequence[Piece], label: Callable[[Piece], int], corner_mm: Array, axes: Array, counts: tuple[int, int, int],
    pitch_mm: float,
) -> NDArray[np.uint8]:  # fmt: skip
    """Labels of the pieces that hold the middles of the cells of a block.

    Parameters
    ----------
    pieces : sequence of Piece
    label : callable
        From a piece to its label, 0 to 254.
    corner_mm : array, shape (3,)
        Middle of the first cell.
    axes : array, shape (3, 3)
        Unit vectors, as rows, along which cells follow each other: two across the columns, the third along them.
    counts : tuple of three ints
        Cells along each.
    pitch_mm : float
        Edge of a cell.

    Returns
    -------
    array of uint8, shape `counts`
        0 where no piece is.

    Raises
    ------
    ValueError
        If there are more than 6 million cells, a label is out of range, or a piece has a shape the kernel lacks.
    """
    if np.prod(counts) > MOST_CELLS:
        raise ValueError(f"a block of {counts} cells is too large: cut it smaller, or into larger cells")
    cells = np.full(counts, NOT_MET, dtype=np.uint8)
    row = np.zeros((1, kernel.COLUMNS))
    for piece in sorted(pieces, key=lambda piece: -piece.priority):
        if piece.kind not in KNOWN:
            raise ValueError(f"columns do not know the shape {piece.kind.name}: teach it to the section kernel")
        number = label(piece)
        if not 0 <= number < NOT_MET:
            raise ValueError(f"a label of {number} is out of range: give 0 to {NOT_MET - 1}")
        row[0] = (
            *piece.at_mm, *piece.to_local.ravel(), *piece.b, piece.ra, piece.rb, *piece.slab.normal,
            piece.slab.low_mm, piece.slab.high_mm,
        )  # fmt: skip
        places = (piece.corners_mm - corner_mm) @ axes.T / pitch_mm
        low = np.maximum(np.floor(places.min(axis=0)), 0).astype(np.int64)
        high = np.minimum(np.ceil(places.max(axis=0)) + 1, counts).astype(np.int64)
        if (low < high).all():
            _claim(cells, number, low, high, corner_mm, axes * pitch_mm, int(piece.kind), row)
    cells[cells == NOT_MET] = 0
    return cells


@numba.njit(nogil=True, fastmath=True, cache=True)
def _claim(
    cells: NDArray[np.uint8], number: int, low: NDArray[np.int64], high: NDArray[np.int64], corner: Array, steps: Array,
    kind: int, row: Array,
) -> None:  # fmt: skip  # pragma: no cover - compiled
    """Label the cells no earlier piece has claimed; a piece is convex, so a column leaves it for good."""
    for i in range(low[0], high[0]):
        for j in range(low[1], high[1]):
            entered = False
            for k in range(low[2], high[2]):
                x = corner[0] + i * steps[0, 0] + j * steps[1, 0] + k * steps[2, 0]
                y = corner[1] + i * steps[0, 1] + j * steps[1, 1] + k * steps[2, 1]
                z = corner[2] + i * steps[0, 2] + j * steps[1, 2] + k * steps[2, 2]
                if kernel._holds(kind, row, 0, x, y, z):
                    entered = True
                    if cells[i, j, k] == NOT_MET:
                        cells[i, j, k] = number
                elif entered:
                    break
