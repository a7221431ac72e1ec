"""The tools of the tray: what can be taken in hand, what is set on each, where it lies and in which stage."""

from collections.abc import Iterable
from typing import Any

from django.utils.translation import gettext_lazy

from assess.log import Stage
from assess.presenting.closing_words import AGENTS, MATERIALS, METHODS
from assess.presenting.move_words import LUBRICANTS, SIDES, SOLUTIONS
from assess.presenting.tool_parts import Figure, Pick, Place, Tick, Tool
from casebank.instruments import ENGINE_SIZES, SIZES, TAPERS
from casebank.instruments.closing_moves import PROVISIONAL_MATERIALS, SEAL_MATERIALS, THICKEST_MM
from casebank.instruments.iso3630 import FLARE_SIZE, FLARE_WORKING_PART_MM
from casebank.instruments.moves import (
    GAUGE_SIZES,
    LENGTH_SIZES,
    MOST_BEYOND_MM,
    MOST_BRUSH_STROKES,
    MOST_ML,
    MOST_PASSES,
    MOST_STROKES,
    PATENCY_SIZES,
    RECAPITULATION_SIZES,
)
from casebank.instruments.teaching import TEACHING

LARGEST_ON_TRAY = 60


def _words(words: dict[str, Any], values: Iterable[str] | None = None) -> tuple[tuple[str, Any], ...]:
    return tuple((value, words[value]) for value in (words if values is None else values))


def _stop(*more: Figure) -> tuple[Figure, ...]:
    return (Figure("to_mm", gettext_lazy("Stop, mm from the reference cusp"), TEACHING.longest_mm), *more)


def _strokes(most: int) -> Figure:
    return Figure("strokes", gettext_lazy("Strokes"), most, whole=True)


HAND = Pick("push", gettext_lazy("Hand"), (("light", gettext_lazy("light")), ("firm", gettext_lazy("firm"))))
TAPER = Pick("taper", gettext_lazy("Taper"), tuple((f"{taper:.2f}", f"{taper:.2f}"[1:]) for taper in TAPERS))
CONE_SIZES = tuple(size for size in SIZES if 15 <= size <= LARGEST_ON_TRAY)
THICKNESS = (Figure("thickness_mm", gettext_lazy("Thickness, mm"), THICKEST_MM),)
BENT = (
    ("0", gettext_lazy("straight")),
    ("0.1", gettext_lazy("gently, radius 10 mm")),
    ("0.15", gettext_lazy("clearly, radius 7 mm")),
    ("0.2", gettext_lazy("strongly, radius 5 mm")),
)

WORKING = Place(
    gettext_lazy("Working the canal"),
    (
        Tool(
            "hand_file",
            gettext_lazy("Hand file"),
            tuple(size for size in SIZES if size <= LARGEST_ON_TRAY),
            (
                _stop(_strokes(MOST_STROKES)),
                Pick("precurve_per_mm", gettext_lazy("Bend the tip beforehand?"), BENT),
                HAND,
            ),
        ),
        Tool(
            "coronal_flare",
            gettext_lazy("Coronal flare"),
            (FLARE_SIZE,),
            (
                (
                    Figure("depth_mm", gettext_lazy("Depth below the orifice, mm"), FLARE_WORKING_PART_MM),
                    _strokes(MOST_BRUSH_STROKES),
                ),
                Pick("brush", gettext_lazy("Brush"), _words(SIDES)),
            ),
            note=gettext_lazy("One short instrument, size 30, taper .08, 8 mm of cutting part."),
        ),
        Tool(
            "engine_file",
            gettext_lazy("Engine file"),
            ENGINE_SIZES,
            (
                _stop(Figure("passes", gettext_lazy("Passes"), MOST_PASSES, whole=True)),
                HAND,
                Pick(
                    "brush",
                    gettext_lazy("Brush, if you do"),
                    (("", gettext_lazy("no brushing")), *_words(SIDES)),
                    optional=True,
                ),
            ),
        ),
        Tool(
            "lubricate",
            gettext_lazy("Lubricate"),
            parts=(Pick("agent", gettext_lazy("Gel"), _words(LUBRICANTS)),),
        ),
        Tool("recapitulate", gettext_lazy("Recapitulate"), RECAPITULATION_SIZES, (_stop(),)),
        Tool(
            "patency",
            gettext_lazy("Keep patency"),
            PATENCY_SIZES,
            ((Figure("beyond_mm", gettext_lazy("Through the end, mm"), MOST_BEYOND_MM),),),
        ),
    ),
)
READING = Place(
    gettext_lazy("Reading and trying in"),
    (
        Tool("read_length", gettext_lazy("Read the length by locator and film"), LENGTH_SIZES),
        Tool("read_electronically", gettext_lazy("Read the length by locator alone"), LENGTH_SIZES),
        Tool(
            "film_length",
            gettext_lazy("Film the file at length"),
            LENGTH_SIZES,
            (_stop(),),
            note=gettext_lazy("Each such film is one more exposure."),
        ),
        Tool(
            "gauge",
            gettext_lazy("Gauge"),
            tuple(size for size in GAUGE_SIZES if size <= LARGEST_ON_TRAY),
            (_stop(),),
        ),
        Tool(
            "fit_cone",
            gettext_lazy("Try a cone"),
            CONE_SIZES,
            (TAPER, _stop(), Tick("gauged", gettext_lazy("gauged to its size first"))),
        ),
        Tool("trial_fit", gettext_lazy("Try in a trial instrument for a carrier"), CONE_SIZES, (TAPER, _stop())),
    ),
)
RINSING = Place(
    gettext_lazy("Rinsing and drying"),
    (
        Tool(
            "irrigate",
            gettext_lazy("Irrigate"),
            parts=(
                Pick("solution", gettext_lazy("Solution"), _words(SOLUTIONS)),
                Pick("needle_mm", gettext_lazy("Needle"), (("0.31", "0.31 mm"), ("0.42", "0.42 mm"))),
                (
                    Figure("ml", gettext_lazy("Volume, mL"), MOST_ML),
                    Figure(
                        "depth_mm",
                        gettext_lazy("Needle tip, mm from the cusp; empty: as deep as it goes loose, 2 mm back"),
                        TEACHING.longest_mm,
                        optional=True,
                    ),
                ),
            ),
        ),
        Tool(
            "dry",
            gettext_lazy("Dry with paper points"),
            note=gettext_lazy("One point after another, until one comes out dry or none will."),
        ),
    ),
)
BETWEEN = Place(
    gettext_lazy("Between visits"),
    (
        Tool(
            "medicate",
            gettext_lazy("Lay in a medicament"),
            parts=(Pick("agent", gettext_lazy("Medicament"), _words(AGENTS)),),
        ),
        Tool(
            "provisional",
            gettext_lazy("Close until the next visit"),
            parts=(Pick("material", gettext_lazy("Material"), _words(MATERIALS, PROVISIONAL_MATERIALS)), THICKNESS),
            of_the_tooth=True,
        ),
        Tool(
            "next_visit",
            gettext_lazy("Begin the next visit"),
            note=gettext_lazy("The patient comes back, and what closed the tooth meanwhile is taken out."),
            of_the_tooth=True,
        ),
    ),
)
FILLING = Place(
    gettext_lazy("Filling and closing"),
    (
        Tool(
            "seal_canal",
            gettext_lazy("Place sealer"),
            parts=((Figure("to_mm", gettext_lazy("Down to, mm from the reference cusp"), TEACHING.longest_mm),),),
        ),
        Tool(
            "fill_canal",
            gettext_lazy("Fill the canal"),
            CONE_SIZES,
            (TAPER, Pick("method", gettext_lazy("Method"), _words(METHODS)), _stop()),
            note=gettext_lazy("Size and taper are those of the cone or the carrier."),
        ),
        Tool(
            "coronal_seal",
            gettext_lazy("Close the tooth for good"),
            parts=(Pick("material", gettext_lazy("Material"), _words(MATERIALS, SEAL_MATERIALS)), THICKNESS),
            note=gettext_lazy("No further move is made after it."),
            of_the_tooth=True,
        ),
    ),
)


def _only(place: Place, *kinds: str) -> Place:
    return Place(place.name, tuple(tool for tool in place.tools if tool.kind in kinds))


TRAYS: dict[Stage, tuple[Place, ...]] = {
    Stage.SHAPE: (WORKING, READING, RINSING, BETWEEN),
    Stage.FILL: (
        _only(WORKING, "recapitulate", "patency"),
        _only(READING, "fit_cone", "trial_fit"),
        RINSING,
        BETWEEN,
        FILLING,
    ),
}
