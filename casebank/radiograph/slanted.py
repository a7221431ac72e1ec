"""A box whose edges need not stand square to each other."""

import numpy as np

from casebank.radiograph.materials import Material
from casebank.radiograph.shapes import Array, Frame, Kind, Piece

_CORNERS = np.array([[i, j, k] for i in (-1.0, 1.0) for j in (-1.0, 1.0) for k in (-1.0, 1.0)])


def slanted_box(
    material: Material, priority: float, centre: Array, half_edges: tuple[Array, Array, Array], frame: Frame
) -> Piece:
    """A parallelepiped: its centre and half of its three edges as vectors of the frame, mm.

    Raises
    ------
    ValueError
        If the edges lie in one plane.
    """
    edges = np.stack(half_edges, axis=1)
    lengths = np.linalg.norm(edges, axis=0)
    if not abs(float(np.linalg.det(edges))) > 1e-6 * float(lengths.prod()):
        raise ValueError("a slanted box needs three edges that do not lie in one plane")
    to_local = np.asarray(np.linalg.inv(frame.axes @ edges), dtype=np.float64)
    corners = frame.to_jaw(centre + _CORNERS @ edges.T)
    return Piece(Kind.CUBE, material, priority, to_local, frame.to_jaw(centre), corners, np.zeros(3))
