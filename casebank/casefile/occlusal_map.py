"""The map a student opens the crown on: an SVG of its outer surface, units millimetres, every style by class.

Nothing of chamber, orifices or canals is asked for on the way, so nothing of them can be in the drawing. Its user units
are the map's millimetres, right and down from the crown's own axis; `MapFrame.from_map` gives the crown coordinates.
"""

from collections.abc import Sequence
from functools import lru_cache
from html import escape

import numpy as np
from scipy import ndimage

from casebank.anatomy import Anatomy
from casebank.anatomy.occlusal import MapFrame, surface_lines
from casebank.casefile.crown_relief import Relief, crown_relief
from casebank.casefile.level_lines import Line
from casebank.radiograph import Material

TONES = (0.44, 0.52, 0.59, 0.65, 0.71, 0.76, 0.81, 0.85, 0.89, 0.93)  # from where each lighter tone begins
NEAREST_MM = 0.012  # points of an outline closer to a straight line than this are left out
MARGIN_MM, WORDS_MM, RULE_MM = 0.9, 4.3, 1.5
CONTACT_SHARE = {"above": -0.14, "the tongue's side": 0.72}  # of half the bucco-lingual width, or of the height
RESTORED = {
    Material.CERAMIC: "ceramic",
    Material.METAL: "metal",
    Material.AMALGAM: "amalgam",
    Material.COMPOSITE: "composite",
    Material.GLASS_IONOMER: "glass-ionomer",
}


def occlusal_map(anatomy: Anatomy, name: str = "", over: Sequence[str] = ()) -> str:
    """The drawing of a crown's outer surface.

    Parameters
    ----------
    name : str
        What to call the tooth in the title; its number, if left out.
    over : sequence of str
        Drawn over it, such as `drawn_outline` gives.

    Returns
    -------
    str
        One `svg` element with title and description, to be put into a page: no style, script or reference outside it.
    """
    relief = relief_of(anatomy)
    body = [*rules(relief.frame), *surface(relief), *_contacts(relief), *words_round(relief.frame)]
    left, _, _, bottom = extent(relief.frame)
    for line, said in enumerate(_restorations(anatomy, relief)):
        body.append(text(left - WORDS_MM + 0.2, bottom + 2.25 - 0.75 * line, said, "map-word"))
    return sheet(relief.frame, title_of(relief.frame, name), _described(anatomy, relief), [*body, *over], "outer")


@lru_cache(maxsize=16)
def relief_of(anatomy: Anatomy) -> Relief:
    """The surface of an anatomy's crown, computed once."""
    return crown_relief(anatomy)


def title_of(frame: MapFrame, name: str) -> str:
    """The tooth and from where it is seen."""
    return f"{name or f'Tooth {frame.number}'}, seen from {frame.seen_from}"


def sheet(frame: MapFrame, title: str, described: str, body: list[str], kind: str) -> str:
    """One SVG of a crown's map; ids carry the tooth's number and the drawing's kind, so that two fit one page."""
    left, top, width, height = view_box(frame)
    key = f"map-{kind}-{frame.number}"
    return (
        f'<svg xmlns="http://www.w3.org/2000/svg" class="tooth-map" viewBox="{left:.2f} {top:.2f} {width:.2f} '
        f'{height:.2f}" role="img" aria-labelledby="{key}-title {key}-desc"><title id="{key}-title">{escape(title)}'
        f'</title><desc id="{key}-desc">{escape(described)}</desc>{"".join(body)}</svg>'
    )


def extent(frame: MapFrame) -> tuple[float, float, float, float]:
    """The drawn field on the map, mm: left, top, right, bottom, whole millimetres."""
    crown = frame.crown
    half = float(np.ceil(crown.mesiodistal_mm / 2 + MARGIN_MM))
    if frame.seen_from == "above":
        half_along = float(np.ceil(crown.buccolingual_mm / 2 + MARGIN_MM))
        return -half, -half_along, half, half_along
    ends = sorted(frame.along_down * z for z in (-1.0, float(np.ceil(crown.height_mm + MARGIN_MM))))
    return -half, ends[0], half, ends[1]


def view_box(frame: MapFrame) -> tuple[float, float, float, float]:
    """Left, top, width and height of the drawing with its words, mm."""
    left, top, right, bottom = extent(frame)
    return left - WORDS_MM, top - RULE_MM, right - left + 2 * WORDS_MM, bottom - top + RULE_MM + 2.9


def path(lines: list[Line], classes: str, *, closed: bool = True) -> str:
    """Lines on the map as one path element; nothing, if there is no line."""
    drawn = "".join(
        "M" + "L".join(f"{x:.2f} {y:.2f}" for x, y in _fewer(line)) + ("Z" if closed else "")
        for line in lines
        if len(line) > 1
    )
    return f'<path class="{classes}" fill-rule="evenodd" d="{drawn}"/>' if drawn else ""


def text(right: float, down: float, words: str, classes: str) -> str:
    """Words at a place of the map."""
    return f'<text class="{classes}" x="{right:.2f}" y="{down:.2f}">{escape(words)}</text>'


def rules(frame: MapFrame) -> list[str]:
    """A faint millimetre grid, and graduated rules below and at the left: longer every 5 mm, 0 on the crown's axis."""
    left, top, right, bottom = extent(frame)
    across, along = np.arange(left, right + 0.5), np.arange(top, bottom + 0.5)
    grid = [np.array([[x, top], [x, bottom]]) for x in across] + [np.array([[left, y], [right, y]]) for y in along]
    ticks = [np.array([[x, bottom], [x, bottom + (0.55 if x % 5 == 0 else 0.3)]]) for x in across]
    ticks += [np.array([[left, y], [left - (0.55 if y % 5 == 0 else 0.3), y]]) for y in along]
    ticks += [np.array([[left, bottom], [right, bottom]]), np.array([[left, top], [left, bottom]])]
    parts = [path(grid, "map-grid", closed=False), path(ticks, "map-rule", closed=False)]
    parts += [text(x, bottom + 1.15, f"{abs(x):.0f}", "map-figure map-mid") for x in across if x % 5 == 0]
    parts += [text(left - 0.7, y + 0.2, f"{abs(y):.0f}", "map-figure map-end") for y in along if y % 5 == 0]
    return [*parts, text(right + 0.3, bottom + 1.15, "mm", "map-figure")]


def words_round(frame: MapFrame) -> list[str]:
    """What lies at each side."""
    left, top, right, bottom = extent(frame)
    sides, middle = frame.sides, words_down_mm(frame)
    return [
        text(0.0, top - 0.5, sides.top.capitalize(), "map-side map-mid"),
        text(0.0, bottom + 2.25, sides.bottom.capitalize(), "map-side map-mid"),
        text(left - 1.3, middle, sides.left.capitalize(), "map-side map-end"),
        text(right + 0.35, middle, sides.right.capitalize(), "map-side"),
    ]


def words_down_mm(frame: MapFrame) -> float:
    """Where the words for the left and right side stand, down on the map: clear of where neighbours touch."""
    _, top, _, bottom = extent(frame)
    contact = contact_down_mm(frame)
    return contact + (1.5 if contact < (top + bottom) / 2 else -1.0)


def surface(relief: Relief) -> list[str]:
    """The crown in tones, its grooves, the outline of a restoration on it, and its own outline."""
    frame, lines = relief.frame, surface_lines(relief.frame)

    def on_map(line: Line) -> Line:
        return np.asarray(line * np.array([frame.x_right, frame.along_down]))

    shown = _shown(relief)
    natural = Material.ENAMEL in shown
    kind = "" if natural else f" map-{RESTORED[shown[0]]}"
    parts = [f'<g class="map-crown{kind}">', path(relief.outline, "map-tone map-tone-0")]
    for number, begins in enumerate(TONES, 1):
        parts.append(path(relief.lines(relief.tone, begins), f"map-tone map-tone-{number}"))
    parts.append(path([on_map(line) for line in lines.fine], "map-groove map-fine", closed=False))
    parts.append(path([on_map(line) for line in lines.grooves], "map-groove", closed=False))
    for material in shown[1:]:
        patch = ndimage.gaussian_filter(np.where(relief.materials == material, 1.0, 0.0), 1.0)
        parts.append(path(relief.lines(patch, 0.5), f"map-patch map-patch-{RESTORED[material]}"))
    return [*parts, path(relief.outline, "map-outline"), "</g>"]


def _contacts(relief: Relief) -> list[str]:
    """Where neighbours touch, in front or not: a short bar outside the outline, and the word."""
    frame = relief.frame
    down = contact_down_mm(frame)
    outline = relief.outline[0]
    near = outline[np.abs(outline[:, 1] - down) < 0.5]
    if len(near) == 0:
        return []
    parts = []
    left, _, right, _ = extent(frame)
    ends = (
        (near[:, 0].min() - 0.16, left - 1.3, "map-word map-end"),
        (near[:, 0].max() + 0.16, right + 0.35, "map-word"),
    )
    for end, word_at, classes in ends:
        bar = np.array([[end, down - 0.5], [end, down + 0.5]])
        parts += [path([bar], "map-contact", closed=False), text(word_at, down + 0.2, "contact", classes)]
    return parts


def contact_down_mm(frame: MapFrame) -> float:
    """Where neighbours touch the crown, down on the map."""
    scale = frame.crown.buccolingual_mm / 2 if frame.seen_from == "above" else frame.crown.height_mm
    return frame.along_down * CONTACT_SHARE[frame.seen_from] * scale


def _shown(relief: Relief) -> list[Material]:
    """What the surface is made of, the most first."""
    numbers, counts = np.unique(relief.materials[relief.materials >= 0], return_counts=True)
    return [Material(int(number)) for number in numbers[np.argsort(-counts, kind="stable")]]


def _restorations(anatomy: Anatomy, relief: Relief) -> list[str]:
    """What a dentist has put on the crown, as far as it is seen."""
    crown = [] if anatomy.prosthesis is None else [f"{anatomy.prosthesis.material} crown"]
    return crown + [f"{RESTORED[material]} filling" for material in _shown(relief)[1:] if material in RESTORED]


def _described(anatomy: Anatomy, relief: Relief) -> str:
    """The drawing in words: its sides, its size, what the surface is made of."""
    frame, crown = relief.frame, relief.frame.crown
    sides = frame.sides
    restored = _restorations(anatomy, relief)
    made_of = "a natural crown" if anatomy.prosthesis is None else f"a {anatomy.prosthesis.material} crown"
    if anatomy.prosthesis is not None and anatomy.prosthesis.kind == "bridge":
        made_of += " that carries a bridge"
    fillings = [said for said in restored if said.endswith("filling")]
    if fillings:
        made_of += f" with {' and '.join(fillings)}"
    along = (
        f"{crown.buccolingual_mm:.1f} mm bucco-lingually"
        if frame.seen_from == "above"
        else f"{crown.height_mm:.1f} mm high"
    )
    return (
        f"The outer surface of {made_of}, {crown.mesiodistal_mm:.1f} mm mesio-distally and {along}. "
        f"{sides.left.capitalize()} is at the left, {sides.right} at the right, {sides.top} at the top, "
        f"{sides.bottom} at the bottom. The grid is 1 mm."
    )


def _fewer(line: Line) -> Line:
    """A line without the points that a straight line between their neighbours would pass within `NEAREST_MM`."""
    keep = np.zeros(len(line), dtype=bool)
    keep[[0, -1]] = True
    open_spans = [(0, len(line) - 1)]
    while open_spans:
        first, last = open_spans.pop()
        if last - first < 2:
            continue
        chord = line[last] - line[first]
        off = line[first + 1 : last] - line[first]
        length = float(np.hypot(*chord))
        away = np.abs(off[:, 0] * chord[1] - off[:, 1] * chord[0]) / length if length > 1e-9 else np.hypot(*off.T)
        worst = int(away.argmax())
        if away[worst] > NEAREST_MM:
            middle = first + 1 + worst
            keep[middle] = True
            open_spans += [(first, middle), (middle, last)]
    return line[keep]
