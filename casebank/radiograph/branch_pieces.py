"""What leaves canals sideways: lateral canals, and the slits between canals of another section than round."""

from collections.abc import Sequence
from itertools import pairwise

import numpy as np

from casebank.anatomy import Canal, Slit, Tooth
from casebank.anatomy.finite import evenly_spaced
from casebank.radiograph import priority
from casebank.radiograph.materials import Material
from casebank.radiograph.shapes import Frame, Piece, round_cone
from casebank.radiograph.slanted import slanted_box

SLIT_LINK_MM = 1.2
ARC_LINKS = 6
OVERLAP = 1.04  # of neighbouring sheets, so that no seam shows


def branches(tooth: Tooth, canals: Sequence[Canal], frame: Frame) -> list[Piece]:
    """Every lateral canal and slit of the canals that are drawn."""
    drawn = {canal.name for canal in canals}
    pieces = []
    for canal in canals:
        for branch in canal.lateral_canals:
            begin, end = tooth.branch_line(canal, branch)
            radius = branch.diameter_mm / 2
            pieces.append(round_cone(Material.PULP, priority.PULP, (begin, end), (radius, radius), frame))
    for slit in tooth.slits:
        if drawn.issuperset(slit.canals):
            pieces += _sheet(tooth, slit, frame)
    return pieces


def _sheet(tooth: Tooth, slit: Slit, frame: Frame) -> list[Piece]:
    """A slit as slanted boxes, side by side along its arc and one below the other."""
    depths = slit.from_mm + evenly_spaced(slit.to_mm - slit.from_mm, SLIT_LINK_MM)
    points = tooth.slit_sections(slit, depths, (ARC_LINKS if slit.bow_mm > 0 else 1) + 1)
    pieces = []
    for upper, lower in pairwise(points):
        for k in range(len(upper) - 1):
            across = (upper[k + 1] + lower[k + 1] - upper[k] - lower[k]) / 4
            down = (lower[k] + lower[k + 1] - upper[k] - upper[k + 1]) / 4
            normal = np.cross(across, down)
            size = float(np.linalg.norm(normal))
            if size < 1e-6:  # the canals have met
                continue
            thick = slit.thickness_mm / 2 * normal / size
            centre = (upper[k] + upper[k + 1] + lower[k] + lower[k + 1]) / 4
            edges = (OVERLAP * across, thick, OVERLAP * down)
            pieces.append(slanted_box(Material.PULP, priority.PULP, centre, edges, frame))
    return pieces
