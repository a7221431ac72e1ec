"""Solids as closed meshes of triangles, made from their own equations: nothing here knows the film's pieces.

Every vertex lies on the true surface, so a mesh of a convex solid lies inside it. How far it stays behind at most, its
`gap_mm`, is the arrow of an arc: r (1 - cos half its angle), once round the solid and once along it.
"""

from dataclasses import dataclass

import numpy as np

ROUND = 192  # corners of every ring


@dataclass(frozen=True)
class Mesh:
    """Corners, shape (n, 3), mm; triangles, shape (m, 3), as numbers of corners; and the gap to the true surface."""

    corners_mm: np.ndarray
    triangles: np.ndarray
    gap_mm: float


def arrow_mm(radius_mm, arc_deg):
    """Height of an arc over its chord."""
    return radius_mm * (1 - np.cos(np.radians(arc_deg) / 2))


def sphere(centre_mm, radius_mm):
    """A ball of `ROUND` meridians and half as many parallels."""
    latitudes = np.linspace(-np.pi / 2, np.pi / 2, ROUND // 2 + 1)[1:-1]
    rings = [radius_mm * (np.cos(one) * _circle() + [0, 0, np.sin(one)]) for one in latitudes]
    poles = np.array([[0, 0, -radius_mm], [0, 0, radius_mm]])
    corners, triangles = _closed(np.array(rings), poles)
    return Mesh(corners + centre_mm, triangles, 2 * arrow_mm(radius_mm, 360 / ROUND))


def cone_frustum(low_mm, high_mm, radii_mm, flattening, *, step_mm=0.1):
    """Between two horizontal ovals: half widths along x, and `flattening` times as much along y.

    Sides and ends are cut into many small triangles, though two rings would do: long thin ones cost a tracer in single
    precision its digits, 10 um here.
    """
    low, high = np.asarray(low_mm, dtype=float), np.asarray(high_mm, dtype=float)
    oval = _circle() * [1, flattening, 1]
    inward = np.arange(step_mm, 1, step_mm)
    shares = np.linspace(0, 1, int(np.ceil(np.linalg.norm(high - low) / step_mm)) + 1)
    rings = [low + share * radii_mm[0] * oval for share in inward]
    rings += [
        low + share * (high - low) + (radii_mm[0] + share * (radii_mm[1] - radii_mm[0])) * oval for share in shares
    ]
    rings += [high + share * radii_mm[1] * oval for share in inward[::-1]]
    corners, triangles = _closed(np.array(rings), np.array([low, high]))
    return Mesh(corners, triangles, flattening * arrow_mm(max(radii_mm), 360 / ROUND))


def tube(course, start_mm, radii_mm, *, flattening=1.0, step_mm=0.1, tightest_mm):
    """The surface a ball draws that moves along a course while its radius changes evenly, with the ball at both ends.

    Monge's canal surface: the ball of centre c(s) and radius r(s) touches its envelope in the circle
    c - r r' t + r sqrt(1 - r'^2) n, where t is the tangent and n runs round it. The balls are `flattening` times as
    deep along y as they are wide; the circle is drawn with y shrunk by that much and then stretched.

    `tightest_mm` is the smallest radius of the course's bends.
    """
    stretch = np.array([1.0, flattening, 1.0])
    depths = np.linspace(0, course.length_mm, int(np.ceil(course.length_mm / step_mm)) + 1)
    centres = course.at(start_mm, depths) / stretch
    along = course.directions(depths) / stretch
    speed = np.linalg.norm(along, axis=1, keepdims=True)
    along /= speed
    radii = np.linspace(*radii_mm, len(depths))
    slopes = (radii_mm[1] - radii_mm[0]) / course.length_mm / speed[:, 0]
    touching = np.arcsin(-slopes)  # angle of the surface's normal over the ring
    caps = ROUND // 4
    angles = np.concatenate(
        [
            np.linspace(-np.pi / 2, touching[0], caps + 1)[1:-1],
            touching,
            np.linspace(touching[-1], np.pi / 2, caps + 1)[1:-1],
        ]
    )
    of_ring = np.concatenate(
        [np.zeros(caps - 1, int), np.arange(len(depths)), np.full(caps - 1, len(depths) - 1, dtype=int)]
    )
    across = np.array([0.0, 1.0, 0.0]) - along[:, 1:2] * along
    across /= np.linalg.norm(across, axis=1, keepdims=True)
    third = np.cross(along, across)
    turn = _circle()
    rings = np.array(
        [
            centres[k]
            + radii[k]
            * (np.sin(angle) * along[k] + np.cos(angle) * (turn[:, :1] * across[k] + turn[:, 1:2] * third[k]))
            for angle, k in zip(angles, of_ring, strict=True)
        ]
    )
    poles = np.array([centres[0] - radii[0] * along[0], centres[-1] + radii[-1] * along[-1]])
    corners, triangles = _closed(rings, poles)
    bend = step_mm**2 / (8 * tightest_mm)
    gap = flattening * (arrow_mm(max(radii_mm), 360 / ROUND) + max(arrow_mm(max(radii_mm), 90 / caps), bend))
    return Mesh(corners * stretch, triangles, gap)


def _circle():
    turn = np.linspace(0, 2 * np.pi, ROUND, endpoint=False)
    return np.stack([np.cos(turn), np.sin(turn), np.zeros(ROUND)], axis=1)


def _closed(rings, poles):
    """Rings, shape (n, ROUND, 3), joined into a skin and closed at both ends by fans round two points."""
    count = len(rings)
    first = (np.arange(count - 1) * ROUND)[:, None]
    here, following = np.arange(ROUND), (np.arange(ROUND) + 1) % ROUND
    a, b, c, d = first + here, first + following, first + ROUND + here, first + ROUND + following
    skin = [np.stack([a, b, c], axis=-1).reshape(-1, 3), np.stack([b, d, c], axis=-1).reshape(-1, 3)]
    low, high = np.full(ROUND, count * ROUND), np.full(ROUND, count * ROUND + 1)
    last = (count - 1) * ROUND
    fans = [np.stack([following, here, low], axis=-1), np.stack([last + here, last + following, high], axis=-1)]
    return np.vstack([rings.reshape(-1, 3), poles]), np.vstack([*skin, *fans])
