"""Columns through pieces: as much as closed forms say, and whoever has the higher priority."""

import numpy as np
import pytest

from casebank.radiograph.columns import column_labels
from casebank.radiograph.materials import Material
from casebank.radiograph.shapes import Frame, Slab, box, ellipsoid, frustum, round_cone

COUNTS, PITCH_MM = (60, 60, 60), 0.2
CORNER = np.full(3, -5.9)


def labels(*pieces, axes=None):
    axes = np.eye(3) if axes is None else axes
    return column_labels(pieces, lambda piece: int(piece.material), CORNER @ axes, axes, COUNTS, PITCH_MM)


def volume_mm3(cells, material):
    return float((cells == material).sum()) * PITCH_MM**3


@pytest.mark.parametrize(
    ("piece", "by_hand"),
    [
        (ellipsoid(Material.DENTINE, 1, (0.3, 0, 0), (3, 2, 4)), 4 / 3 * np.pi * 3 * 2 * 4),
        (box(Material.DENTINE, 1, (0, 0, 0), (1.6, 2.6, 3.6)), 3.2 * 5.2 * 7.2),
        (frustum(Material.DENTINE, 1, ((0, 0, -4), (0, 0, 4)), (3, 1)), np.pi * 8 / 3 * (9 + 3 + 1)),
        # a rod of radius 2 and length 4 with two half balls
        (round_cone(Material.DENTINE, 1, ((0, 0, -2), (0, 0, 2)), (2, 2)), np.pi * 4 * 4 + 4 / 3 * np.pi * 8),
        # half a ball of radius 4
        (
            ellipsoid(Material.DENTINE, 1, (0, 0, 0), (4, 4, 4)).cut(Slab(np.array([0, 0, 1.0]), 0.0)),
            2 / 3 * np.pi * 64,
        ),
    ],
    ids=["ellipsoid", "box", "frustum", "round cone", "cut ball"],
)
@pytest.mark.parametrize("lean_deg", [0, 25])
def test_a_piece_fills_its_own_volume_whichever_way_columns_run(piece, by_hand, lean_deg):
    axes = Frame(np.eye(3), np.zeros(3)).leaning(lean_deg, lean_deg / 2).axes.T
    assert volume_mm3(labels(piece, axes=axes), Material.DENTINE) == pytest.approx(by_hand, rel=0.02)


def test_the_higher_priority_is_there_and_air_is_where_nothing_is():
    # a shell of enamel 1 mm thick round a ball of dentine, with a hole of pulp in its middle
    cells = labels(
        ellipsoid(Material.ENAMEL, 1, (0, 0, 0), (4, 4, 4)),
        ellipsoid(Material.PULP, 3, (0, 0, 0), (1, 1, 1)),
        ellipsoid(Material.DENTINE, 2, (0, 0, 0), (3, 3, 3)),
    )
    assert volume_mm3(cells, Material.ENAMEL) == pytest.approx(4 / 3 * np.pi * (64 - 27), rel=0.02)
    assert volume_mm3(cells, Material.DENTINE) == pytest.approx(4 / 3 * np.pi * (27 - 1), rel=0.02)
    assert cells[0, 0, 0] == 0
    assert cells[30, 30, 30] == Material.PULP


def test_pieces_beside_the_block_leave_it_empty():
    assert not labels(ellipsoid(Material.DENTINE, 1, (40, 0, 0), (3, 3, 3))).any()


def test_too_many_cells_and_labels_out_of_range_are_refused():
    ball = ellipsoid(Material.DENTINE, 1, (0, 0, 0), (1, 1, 1))
    with pytest.raises(ValueError, match="too large"):
        column_labels([ball], lambda _: 1, CORNER, np.eye(3), (300, 300, 300), PITCH_MM)
    with pytest.raises(ValueError, match="out of range"):
        column_labels([ball], lambda _: 255, CORNER, np.eye(3), COUNTS, PITCH_MM)
