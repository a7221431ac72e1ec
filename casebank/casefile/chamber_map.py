"""What lay under the crown's map: chamber and orifices, on the same map. Only for after release.

Chamber outlines are cut from the very pieces the film is computed from: in a back tooth at the floor and under the
roof, in a front tooth as the chamber's shadow towards the tongue's side.
"""

from collections.abc import Sequence
from dataclasses import replace

import numpy as np
from scipy import ndimage

from casebank.anatomy import Anatomy, Placement
from casebank.anatomy.occlusal import MapFrame, map_frame
from casebank.casefile.level_lines import Line, level_lines
from casebank.casefile.occlusal_map import path, relief_of, rules, sheet, surface, text, title_of, words_round
from casebank.radiograph import Material
from casebank.radiograph.pieces import pieces_of
from casebank.radiograph.sections import Grid, material_shares, seen_surface
from casebank.radiograph.shapes import Piece, Slab
from casebank.radiograph.trabeculae import even

PITCH_MM = 0.08
THIN_MM = 0.1
ABOVE_FLOOR, UNDER_ROOF = 0.2, 0.15  # of the chamber's height: where its outlines are cut, a teaching choice
FLAT_MM = 0.16  # half the height of an orifice seen nearly edge on
NAME_MM = 1.0


def chamber_map(anatomy: Anatomy, name: str = "", over: Sequence[str] = ()) -> str:
    """The drawing of chamber and orifices over the crown's map.

    Parameters
    ----------
    name : str
        What to call the tooth in the title; its number, if left out.
    over : sequence of str
        Drawn over it, such as `drawn_outline` gives.

    Returns
    -------
    str
        One `svg` element with title and description, in the units of `occlusal_map`.
    """
    frame = map_frame(anatomy.tooth)
    body = [*rules(frame), '<g class="map-faded">', *surface(relief_of(anatomy)), "</g>"]
    floor, roof = chamber_outlines(anatomy)
    body += [path(floor, "map-chamber"), path(roof, "map-roof"), *_orifices(anatomy, frame), *words_round(frame)]
    title = f"Chamber and orifices. {title_of(frame, name)}"
    return sheet(frame, title, _described(anatomy, frame), [*body, *over], "inner")


def chamber_outlines(anatomy: Anatomy) -> tuple[list[Line], list[Line]]:
    """Outlines of the chamber at its floor and under its roof, right and down on the map, mm; front teeth: one only."""
    tooth, frame = anatomy.tooth, map_frame(anatomy.tooth)
    alone = replace(anatomy, placement=Placement(), neighbours=(), lesions=())
    pulp = tuple(piece for piece in pieces_of(alone) if piece.material == Material.PULP)
    floor_z = tooth.crown.height_mm - tooth.chamber.floor_mm
    if frame.seen_from != "above":
        return _shadow(pulp, frame, floor_z), []
    height = tooth.chamber.height_mm
    levels = floor_z + ABOVE_FLOOR * height, floor_z + (1 - UNDER_ROOF) * height
    floor, roof = (_section(pulp, frame, z) for z in levels)
    return floor, roof


def _section(pulp: tuple[Piece, ...], frame: MapFrame, z_mm: float) -> list[Line]:
    half = max(frame.crown.mesiodistal_mm, frame.crown.buccolingual_mm) / 2
    count = 2 * round(half / PITCH_MM) + 1
    x, y, _ = np.eye(3)
    grid = Grid(np.array([0.0, 0.0, z_mm]), x, y, count, count, PITCH_MM)
    filled = material_shares(pulp, grid, THIN_MM, even())[0][..., Material.PULP].astype(np.float64)
    lines = []
    for line in level_lines(filled, 0.5, least_points=12):
        flat = grid.corner_mm[:2] + PITCH_MM * line
        lines.append(frame.on_map(np.column_stack([flat, np.full(len(flat), z_mm)])))
    return lines


def _shadow(pulp: tuple[Piece, ...], frame: MapFrame, floor_z_mm: float) -> list[Line]:
    """The part of the pulp above a height of the tooth, as its outline on the map."""
    above = Slab(np.array([0.0, 0.0, 1.0]), low_mm=floor_z_mm)
    crown = frame.crown
    right = frame.axes @ np.array([frame.x_right, 0.0, 0.0])
    down = frame.along_down * (frame.axes @ frame.along)
    columns, rows = (2 * round(size / PITCH_MM) + 1 for size in (crown.mesiodistal_mm / 2, crown.height_mm))
    grid = Grid(np.zeros(3), right, down, rows, columns, PITCH_MM)
    met = seen_surface([piece.cut(above) for piece in pulp], grid, frame.axes @ frame.toward_eye)[1] >= 0
    corner = -(np.array([columns, rows]) - 1) / 2 * PITCH_MM
    rounded = ndimage.gaussian_filter(met.astype(np.float64), 1.0)
    return [corner + PITCH_MM * line for line in level_lines(rounded, 0.5, least_points=12)]


def _orifices(anatomy: Anatomy, frame: MapFrame) -> list[str]:
    """Each orifice at its size, and its name beside it, away from the middle of all."""
    tooth = anatomy.tooth
    places = frame.on_map(np.array([tooth.orifice_of(canal) for canal in tooth.canals]))
    parts = []
    for number, (canal, (right, down)) in enumerate(zip(tooth.canals, places.tolist(), strict=True)):
        away = np.array([right, down]) - places.mean(axis=0)
        if frame.seen_from != "above" or np.hypot(*away) < 0.2:
            away = np.array([1.0 if number % 2 == 0 else -1.0, 0.0])
        away = away / np.hypot(*away)
        at = np.array([right, down]) + NAME_MM * away
        half_right, half_down = canal.orifice.narrow_mm / 2, canal.orifice.wide_mm / 2
        if canal.wide_side == "mesiodistal":
            half_right, half_down = half_down, half_right
        if frame.seen_from != "above":
            half_down = FLAT_MM
        parts.append(path([np.array([[right, down], at])], "map-lead", closed=False))
        parts.append(
            f'<ellipse class="map-orifice" cx="{right:.2f}" cy="{down:.2f}" rx="{half_right:.2f}" '
            f'ry="{half_down:.2f}"/>'
        )
        side = "map-start" if away[0] > 0.35 else "map-end" if away[0] < -0.35 else "map-mid"
        parts.append(text(at[0] + 0.12 * away[0], at[1] + 0.22 + 0.25 * away[1], canal.name, f"map-name {side}"))
    return parts


def _described(anatomy: Anatomy, frame: MapFrame) -> str:
    """Where each orifice lies, in words."""
    tooth, sides = anatomy.tooth, frame.sides
    places = frame.on_map(np.array([tooth.orifice_of(canal) for canal in tooth.canals]))
    said = [
        f"{canal.name} {abs(right):.1f} mm {sides.right if right >= 0 else sides.left} and "
        f"{abs(down):.1f} mm towards {sides.bottom if down >= 0 else sides.top}"
        for canal, (right, down) in zip(tooth.canals, places.tolist(), strict=True)
    ]
    drawn = (
        "The chamber's outline at its floor is filled, that under its roof dashed."
        if frame.seen_from == "above"
        else "The chamber's outline is filled."
    )
    origin = "the crown's axis" if frame.seen_from == "above" else "the middle of the neck"
    return f"{drawn} Orifices, from {origin}: {'; '.join(said)}."
