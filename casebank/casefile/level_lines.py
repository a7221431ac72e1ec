"""Lines along which a grid of heights has one height: closed outlines that a drawing can fill."""

import numpy as np
from numpy.typing import NDArray

Field = NDArray[np.float64]
Line = NDArray[np.float64]

TOP, RIGHT, BOTTOM, LEFT = range(4)
# by which of a cell's corners are at least as high (1 top left, 2 top right, 4 bottom right, 8 bottom left): the sides
# where a line enters and leaves, the higher ground at its left
WAYS = {
    1: ((LEFT, TOP),),
    2: ((TOP, RIGHT),),
    3: ((LEFT, RIGHT),),
    4: ((RIGHT, BOTTOM),),
    5: ((LEFT, TOP), (RIGHT, BOTTOM)),
    6: ((TOP, BOTTOM),),
    7: ((LEFT, BOTTOM),),
    8: ((BOTTOM, LEFT),),
    9: ((BOTTOM, TOP),),
    10: ((TOP, RIGHT), (BOTTOM, LEFT)),
    11: ((BOTTOM, RIGHT),),
    12: ((RIGHT, LEFT),),
    13: ((RIGHT, TOP),),
    14: ((TOP, LEFT),),
}  # fmt: skip

Side = tuple[int, int, bool]  # row and column of its first corner, and whether it runs down


def level_lines(heights: Field, level: float, *, least_points: int = 6) -> list[Line]:
    """Outlines of all ground at least as high as a level.

    Parameters
    ----------
    heights : array, shape (rows, columns)
        Not-a-number counts as lower than anything. Ground that reaches the rim is closed along it.
    least_points : int
        Shorter outlines are left out.

    Returns
    -------
    list of arrays, shape (n, 2)
        Column and row, in grid steps from the first place's centre; the last point joins the first.

    Examples
    --------
    >>> hill = np.zeros((3, 3)); hill[1, 1] = 1.0
    >>> sorted(map(tuple, level_lines(hill, 0.5, least_points=4)[0].tolist()))
    [(0.5, 1.0), (1.0, 0.5), (1.0, 1.5), (1.5, 1.0)]
    """
    lowest = min(float(np.nanmin(heights, initial=level)), level) - 1.0
    padded = np.pad(np.where(np.isnan(heights), lowest, heights), 1, constant_values=lowest) - level
    high = padded >= 0
    code = high[:-1, :-1] + 2 * high[:-1, 1:] + 4 * high[1:, 1:] + 8 * high[1:, :-1]
    follows: dict[Side, Side] = {}
    for row, column in zip(*(axis.tolist() for axis in np.nonzero((code > 0) & (code < 15))), strict=True):
        sides: tuple[Side, ...] = (
            (row, column, False), (row, column + 1, True), (row + 1, column, False), (row, column, True),
        )  # fmt: skip
        for enters, leaves in WAYS[int(code[row, column])]:
            follows[sides[enters]] = sides[leaves]
    lines = []
    while follows:
        side, after = follows.popitem()
        line = [_crossing(padded, side)]
        while after != side:
            line.append(_crossing(padded, after))
            after = follows.pop(after)
        if len(line) >= least_points:
            lines.append(np.array(line) - 1.0)
    return lines[::-1]


def _crossing(padded: Field, side: Side) -> tuple[float, float]:
    """Where a side of a cell has height 0, as column and row of the padded grid."""
    row, column, runs_down = side
    first = padded[row, column]
    second = padded[row + 1, column] if runs_down else padded[row, column + 1]
    share = float(first / (first - second))
    return (column, row + share) if runs_down else (column + share, row)
