"""Every kind of move has words of its own, in the past tense of nobody: what was taken, how deep, how."""

from typing import get_args

import pytest

from assess.presenting.move_words import move_words
from casebank.instruments import EngineFile, FitCone, Gauge, HandFile, Irrigate
from casebank.instruments.closing_moves import CoronalSeal, FillCanal, Provisional, Seal, TrialFit
from casebank.instruments.moves import CoronalFlare, FilmLength, Move, Recapitulate

NEEDS = {
    HandFile: {"size": 10, "to_mm": 18.0},
    EngineFile: {"size": 25, "taper": 0.04, "to_mm": 18.0},
    CoronalFlare: {"depth_mm": 4.0},
    Recapitulate: {"to_mm": 18.0},
    Gauge: {"size": 25, "to_mm": 18.0},
    FitCone: {"size": 30, "taper": 0.04, "to_mm": 18.0},
    FilmLength: {"size": 15, "to_mm": 18.0},
    TrialFit: {"size": 30, "taper": 0.04, "to_mm": 18.0},
    Seal: {"to_mm": 17.5},
    FillCanal: {"method": "cold lateral", "size": 30, "taper": 0.04, "to_mm": 18.0},
}
KINDS = get_args(Move)


@pytest.mark.parametrize("kind", KINDS, ids=lambda kind: kind.__name__)
def test_a_move_is_told_with_its_length_where_it_has_one(kind):
    needs = NEEDS.get(kind, {})
    said = move_words(kind(**needs))
    assert said
    if "to_mm" in needs:
        assert f"{needs['to_mm']:g} mm" in said


def test_no_two_kinds_of_move_are_told_alike():
    assert len({move_words(kind(**NEEDS.get(kind, {}))) for kind in KINDS}) == len(KINDS)


@pytest.mark.parametrize(
    ("move", "said"),
    [
        (FitCone(30, 0.04, 18.0, gauged=False), "cone 30/.04 at 18 mm, not gauged"),
        (Provisional("glass-ionomer cement", 3.5), "closed until the next visit with glass-ionomer cement, 3.5 mm"),
        (CoronalSeal("bonded composite", 4.0), "closed for good with bonded composite, 4 mm"),
        (Irrigate(2.0, "EDTA"), "rinse, 2 mL EDTA"),
    ],
)
def test_words_name_what_was_taken(move, said):
    assert move_words(move) == said
