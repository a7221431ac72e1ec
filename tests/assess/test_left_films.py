"""A film of every end state of the bank can be taken: all logs, and every fault a case allows."""

import json
from functools import cache
from types import SimpleNamespace

import numpy as np
import pytest
from pydantic import TypeAdapter

from assess.log import AnyEvent, fold
from assess.presenting.leaving import exposures, left_tooth
from casebank.instruments import replay
from casebank.radiograph import Receptor, take
from fixtures.faults import applicable, weakened
from tests.casebank.casefile.bank import SLUGS, case
from tests.factories import FIXTURES

EVENTS = TypeAdapter(tuple[AnyEvent, ...])
SMALL = Receptor.of_pixels(96, 72)


def log(slug, kind):
    return json.loads((FIXTURES / "logs" / f"{slug}.{kind}.json").read_text(encoding="utf-8"))["events"]


@cache
def end_of(slug, kind):
    """Document, state and bench at the end of a stored log, or of the sound one with one named fault."""
    document = case(slug)
    if kind in ("sound", "weak"):
        events = log(slug, kind)
    else:
        events = weakened(document, log(slug, "sound"), [one for one in applicable(document) if one.name == kind])
    state = fold(EVENTS.validate_json(json.dumps(events)), case=slug)
    return SimpleNamespace(document=document, state=state, bench=replay(document.anatomy.tooth, state.moves))


ENDS = [(slug, kind) for slug in SLUGS for kind in ("sound", "weak", *(fault.name for fault in applicable(case(slug))))]


@pytest.mark.parametrize(("slug", "kind"), ENDS)
def test_every_end_state_has_its_films_and_its_words(slug, kind):
    end = end_of(slug, kind)
    films = exposures(end.document, end.state, end.bench)
    assert set(films) == {1, 2, 3}
    before = take(end.document.anatomy, films[1].view, SMALL).shade
    for number in (1, 3):
        shown = take(end.document.anatomy, films[number].view, SMALL, films[number].rods)
        assert np.isfinite(shown.shade).all()
    assert np.abs(take(end.document.anatomy, films[1].view, SMALL, films[1].rods).shade - before).max() > 0.1
    words = left_tooth(end.document, end.state, end.bench)
    assert [one.canal for one in words.canals] == list(end.bench.canals)
    assert all(one.filling and one.length for one in words.canals)


@pytest.mark.parametrize("slug", SLUGS)
def test_a_sound_treatment_is_filled_to_within_two_millimetres_of_every_end_without_a_gap(slug):
    # 0 to 2 mm short of the root's end on a film: ESE quality guidelines, Int Endod J 2006;39:921, from memory
    end = end_of(slug, "sound")
    for one in left_tooth(end.document, end.state, end.bench).canals:
        shown_mm = float(one.filling.split(" ends ")[1].split(" mm short of the root's end")[0])
        assert 0 <= shown_mm <= 2
        assert "No gap beside it." in one.filling


def words_of(slug, kind, canal):
    end = end_of(slug, kind)
    return next(one for one in left_tooth(end.document, end.state, end.bench).canals if one.canal == canal)


@pytest.mark.parametrize("canal", ["MB", "ML", "D"])
def test_lengths_a_millimetre_too_long_show_a_tip_beyond_the_foramen(canal):
    # the fault answers 1 mm more than 0.5 mm short, so the file lies 0.5 mm beyond
    said = words_of("leaning-abutment", "to the very tip", canal).length
    assert "Along the canal it is 0.5 mm beyond the foramen." in said


def test_without_a_rinse_the_filling_ends_short_with_gaps_and_without_a_try_the_label_is_named():
    no_rinse = words_of("leaning-abutment", "no irrigation", "MB").filling
    assert float(no_rinse.split("that is ")[1].split(" mm short of the foramen")[0]) > 2
    assert "Gap beside it" in no_rinse
    assert "the last file's label, 35/.04" in words_of("leaning-abutment", "cone by label", "MB").filling


def test_a_foramen_that_faces_the_tube_is_named():
    # the mesiobuccal foramen of this molar lies 0.7 mm nearer the tube than its root's end
    assert "faces the tube" in words_of("leaning-abutment", "sound", "MB").length
    assert "faces" not in words_of("leaning-abutment", "sound", "D").length
