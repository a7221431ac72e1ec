"""Roots, the trunk they spring from, and the ligament space and lamina dura round them.

A root is a chain of round cones. Between two roots a rib bends over from one to the other: its underside is the arch of
the furcation. Columns above them fill the trunk up to the neck. Ligament and lamina are the same solids, grown.
"""

from dataclasses import dataclass
from itertools import combinations

import numpy as np

from casebank.anatomy import Crown, Root, Support
from casebank.radiograph import priority
from casebank.radiograph.materials import Material
from casebank.radiograph.resorption_pieces import end_slab
from casebank.radiograph.shapes import NO_SLAB, Array, Frame, Piece, Slab, chain, frustum

NECK_DEPTH_MM = 2.2  # over this depth the neck's section passes into the roots'
PAIR = 2  # roots
WAIST_AT, WAIST_SHARE = 0.65, 0.75  # above three roots: height down to which a column stays thick, and how thick
VAULT_MM = 0.9  # how much higher the trunk of three roots ends in its middle than at its sides
ASKEW_MM = 0.8  # how much higher the arch lies between roots that stand one behind the other
ABOVE_NECK_MM = 0.4  # how far roots reach into the crown
LAMINA_LAYERS = ((0.9, -1.2), (0.5, -0.2))  # share of its thickness, height of its rim above the crest


@dataclass(frozen=True)
class Detail:
    """How finely roots are divided.

    Attributes
    ----------
    link_mm : float
        Length of a root's links.
    columns, bow_points : int
        Columns of a trunk; points of a rib.
    lamina_layers : int
        1, or 2 for a lamina that thins out at its rim.
    ribs_between : int
        Most roots a tooth may have for its furcation to be lined with ligament and lamina.
    """

    link_mm: float
    columns: int
    bow_points: int
    lamina_layers: int
    ribs_between: int


FINE = Detail(link_mm=1.1, columns=19, bow_points=8, lamina_layers=2, ribs_between=4)
COARSE = Detail(link_mm=2.4, columns=14, bow_points=5, lamina_layers=1, ribs_between=2)


@dataclass(frozen=True)
class RootForm:
    """Roots of one tooth with the neck they hang from.

    `furcation_z_mm` is the arch's height in the tooth frame.
    """

    roots: tuple[Root, ...]
    neck_mesiodistal_mm: float
    neck_buccolingual_mm: float
    furcation_z_mm: float | None = None
    detail: Detail = FINE

    @classmethod
    def of(
        cls, roots: tuple[Root, ...], crown: Crown, furcation_z_mm: float | None, detail: Detail = FINE
    ) -> "RootForm":
        return cls(roots, crown.neck_mesiodistal_mm, crown.neck_buccolingual_mm, furcation_z_mm, detail)


def root_solid(
    form: RootForm, frame: Frame, material: Material, rank: float, *, grow_mm: float = 0.0, slab: Slab = NO_SLAB
) -> list[Piece]:
    """All roots of a tooth as one solid, grown on every side by `grow_mm` and cut by one slab."""
    pieces: list[Piece] = []
    for root in form.roots:
        line = root.centre_line(step_mm=form.detail.link_mm)
        radii = root.radii_mm(len(line)) + grow_mm
        links = chain(material, rank, line, radii, frame, flattening=root.flattening)
        # round a cut end ligament and lamina close as a dome, over what is left or growing there
        end = end_slab(root, frame) if grow_mm == 0 else None
        pieces += link_slabs(links, root, line, radii, end, slab)
    if form.furcation_z_mm is None or len(form.roots) == 1:
        return [*pieces, _neck(form.roots[0], form, frame, material, rank, grow_mm).cut(slab)]
    if grow_mm == 0 or len(form.roots) <= form.detail.ribs_between:
        for first, second in combinations(form.roots, 2):
            pieces += _rib(first, second, form, frame, material, rank, grow_mm, slab)
    if grow_mm == 0:
        pieces += [piece.cut(slab) for piece in _columns(form, form.furcation_z_mm, frame, material, rank)]
    return pieces


def link_slabs(
    links: list[Piece], root: Root, line: Array, radii: Array, end: Slab | None, elsewhere: Slab
) -> list[Piece]:
    """Links along part of a root, those that would reach over its cut end cut there, the others elsewhere.

    `line` and `radii` are those the links were made of, in the tooth frame.
    """
    if end is None:
        return [piece.cut(elsewhere) for piece in links]
    left = (root.apex_mm - line[1:]) @ root.course.directions(np.array([root.course.length_mm]))[0]
    over = (left < radii[1:] + 0.1).tolist()
    return [piece.cut(end if ends else elsewhere) for piece, ends in zip(links, over, strict=True)]


def dentine(form: RootForm, frame: Frame) -> list[Piece]:
    """The roots themselves, ending a little above the neck."""
    up = frame.axes[:, 2]
    slab = Slab(up, high_mm=float(up @ frame.at_mm) + ABOVE_NECK_MM)
    return root_solid(form, frame, Material.DENTINE, priority.DENTINE, slab=slab)


def attachment(form: RootForm, frame: Frame, support: Support, crest: Slab) -> list[Piece]:
    """Ligament space and lamina dura below the bone crest; the lamina thins out towards its rim."""

    def below(rim_mm: float) -> Slab:
        return Slab(crest.normal, high_mm=crest.high_mm + rim_mm)

    ligament = support.ligament_mm
    pieces = root_solid(form, frame, Material.SOFT, priority.LIGAMENT, grow_mm=ligament, slab=below(0.4))
    for share, rim_mm in LAMINA_LAYERS[: form.detail.lamina_layers]:
        grow = ligament + share * support.lamina_mm
        pieces += root_solid(form, frame, Material.CORTICAL, priority.LAMINA, grow_mm=grow, slab=below(rim_mm))
    return pieces


def at_height(root: Root, z_mm: float) -> tuple[Array, float]:
    """Centre, shape (3,), and half mesio-distal width of a root at a height in the tooth frame."""
    line = root.centre_line(step_mm=0.1)
    nearest = int(np.argmin(np.abs(line[:, 2] - z_mm)))
    return line[nearest], float(root.radii_mm(len(line))[nearest])


def _neck(root: Root, form: RootForm, frame: Frame, material: Material, rank: float, grow_mm: float) -> Piece:
    """The neck's section passing into that of a single root."""
    centre, radius = at_height(root, -NECK_DEPTH_MM)
    ends = (centre, (0.0, 0.0, ABOVE_NECK_MM))
    half = form.neck_mesiodistal_mm / 2
    above = half + (half - radius) * ABOVE_NECK_MM / NECK_DEPTH_MM  # so that it is as wide as stated at the neck
    # its ratio is the neck's, so that crown and root meet without a step; below it stays within the root
    flattening = form.neck_buccolingual_mm / form.neck_mesiodistal_mm
    radii = (radius * min(1.0, root.flattening / flattening) + grow_mm, above + grow_mm)
    return frustum(material, rank, ends, radii, frame, flattening=flattening)


def _rib(
    first: Root,
    second: Root,
    form: RootForm,
    frame: Frame,
    material: Material,
    rank: float,
    grow_mm: float,
    slab: Slab,
) -> list[Piece]:
    """A bow from one root to the other whose underside is the furcation's arch.

    Between roots that stand one behind the other the arch is seen askew; it lies higher and has no lining of its own,
    so that it throws no edge.
    """
    furcation_z_mm = form.furcation_z_mm or 0.0
    (p, r), (q, s) = at_height(first, furcation_z_mm), at_height(second, furcation_z_mm)
    if abs(q[1] - p[1]) > abs(q[0] - p[0]):
        if grow_mm > 0:
            return []
        furcation_z_mm += ASKEW_MM
    thick = 0.94 * min(r, s)
    half_gap = max(0.3, float(np.linalg.norm(q - p)) / 2 - thick)
    rise = thick + min(half_gap, 1.3)
    foot_z = furcation_z_mm + thick - rise
    p, q = at_height(first, foot_z)[0], at_height(second, foot_z)[0]
    turn = np.linspace(0, np.pi, form.detail.bow_points)[:, None]
    bow = (p + q) / 2 - np.cos(turn) * (q - p) / 2 + np.sin(turn) * np.array([0.0, 0.0, rise])
    flattening = min(first.flattening, second.flattening)
    return chain(material, rank, bow, thick + grow_mm, frame, flattening=flattening, slab=slab)


def _columns(form: RootForm, furcation_z_mm: float, frame: Frame, material: Material, rank: float) -> list[Piece]:
    """Upright round cones side by side from the neck's oval down to the roots and the ribs between them.

    Their rounded feet leave no edge on a film.
    """
    places = [at_height(root, furcation_z_mm) for root in form.roots]
    depths = [radius * root.flattening for (_, radius), root in zip(places, form.roots, strict=True)]
    front = min(float(centre[1]) - depth for (centre, _), depth in zip(places, depths, strict=True))
    back = max(float(centre[1]) + depth for (centre, _), depth in zip(places, depths, strict=True))
    middle_y = (front + back) / 2
    # between two roots the rib takes over; in the middle of three there is nothing, so the trunk thins out above it
    foot_thick = 0.85 * min(depths) if len(form.roots) == PAIR else 0.5
    left = min(places, key=lambda place: float(place[0][0]))[0]
    right = max(places, key=lambda place: float(place[0][0]))[0]
    half_width, half_depth = form.neck_mesiodistal_mm / 2, form.neck_buccolingual_mm / 2
    pieces: list[Piece] = []
    for u in np.linspace(-1.0, 1.0, form.detail.columns):
        top_mm = 1.25 - 0.5 * abs(u)
        along = u * (half_width - top_mm) / half_width
        flattening = float(half_depth * np.sqrt(max(0.12, 1 - along**2)) / top_mm)
        foot_mm = min(top_mm, foot_thick / flattening)
        share = float(np.clip(0.5 + 0.62 * u, -0.12, 1.12))
        foot = left + share * (right - left)
        foot[1] = middle_y
        foot[2] = furcation_z_mm + foot_mm + 0.3 - min(0.5, abs(share - 0.5))
        if len(form.roots) > PAIR:
            foot[2] += VAULT_MM * max(0.0, 1 - (2 * share - 1) ** 2)
        top = np.array([u * (half_width - top_mm), 0.0, 0.0])
        line, radii = np.array([foot, top]), [foot_mm, top_mm]
        if len(form.roots) > PAIR:
            line = np.insert(line, 1, top + WAIST_AT * (foot - top), axis=0)
            radii.insert(1, WAIST_SHARE * top_mm)
        pieces += chain(material, rank, line, radii, frame, flattening=flattening)
    return pieces
