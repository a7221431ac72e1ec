"""What films cannot show is not asked for: there "cannot tell" is right; where they show it, it earns nothing."""

import json
from dataclasses import replace

import pytest
from pydantic import TypeAdapter, ValidationError

from assess.grading import AnswerRefused, grade
from assess.grading.fits import require_fit
from assess.log import AnyEvent, Committed, FilmTaken, Levelled, Marked, Measured, Stage, State
from casebank.casefile.visible_keys import Shown
from tests.casebank.casefile.test_visible_keys import case_of
from tests.casebank.radiograph.test_visibility import with_canals

CASE = "leaning-abutment"
LOOK = {"case": CASE, "stage": Stage.LOOK}
COUNT = LOOK | {"task": "canal-count"}
EVENT = TypeAdapter(AnyEvent)
IN_LINE, HAIR = case_of(with_canals(0.4, 0.5)), case_of(with_canals(0.03, 0.03))
"""Two mesial canals one behind the other on the straight film, as test_visibility shows; and two too fine for any."""


def shifted(seq, stage=Stage.LOOK):
    return FilmTaken(seq=seq, case=CASE, stage=stage, horizontal_deg=20.0, reason="part the mesial canals")


def judged(document, *events, task="canal-count"):
    return next(one for one in grade(document, events).criteria if one.id == task)


def test_what_no_film_shows_cannot_be_told_and_the_reason_names_the_view_that_would_show_it():
    one = judged(IN_LINE, Measured(seq=1, **COUNT, cannot_tell=True))
    assert (one.credit, one.leaning, one.answered) == (1, 0, True)
    assert one.said == "cannot be told from these films"
    assert one.reference == "cannot be told from these films; in the tooth: 3"
    assert "these films show 2 of 3 canals apart" in one.why
    assert "A film with the tube moved 20° mesially would have shown it." in one.why


def test_where_no_film_at_all_would_show_it_the_reason_says_so():
    one = judged(HAIR, Measured(seq=1, **COUNT, cannot_tell=True))
    assert one.credit == 1
    assert "No other film that can be taken of this case would have shown it." in one.why


@pytest.mark.parametrize(("said", "credit"), [(3.0, 1), (2.0, 0)])
def test_a_number_is_right_or_wrong_whatever_the_films_show(said, credit):
    unseen = judged(IN_LINE, Measured(seq=1, **COUNT, value=said))
    seen = judged(IN_LINE, shifted(1), Measured(seq=2, **COUNT, value=said))
    assert unseen.credit == seen.credit == credit
    assert ("To say so would have counted in full." in unseen.why) is (credit == 0)
    assert "cannot" not in seen.why


def test_what_a_film_shows_can_be_told_and_the_reason_says_on_which():
    one = judged(IN_LINE, shifted(1), Measured(seq=2, **COUNT, cannot_tell=True))
    assert (one.credit, one.leaning, one.reference) == (0, None, "3")
    assert one.why.startswith("You said that these films cannot tell. They can: ")
    assert "on film 2" in one.why


def test_a_film_taken_after_the_question_was_closed_does_not_count():
    events = [Measured(seq=1, **COUNT, cannot_tell=True), Committed(seq=2, case=CASE, stage=Stage.LOOK)]
    assert judged(IN_LINE, *events, shifted(3, Stage.WEIGH)).credit == 1


def test_a_root_end_that_is_seen_is_named_with_its_place():
    one = judged(IN_LINE, Marked(seq=1, **LOOK, task="apex-mark", cannot_tell=True), task="apex-mark")
    assert one.credit == 0
    assert "of the middle of film 1" in one.why


def test_a_bend_that_cannot_be_followed_cannot_be_told():
    one = judged(HAIR, Measured(seq=1, **LOOK, task="curvature", cannot_tell=True), task="curvature")
    assert one.credit == 1


@pytest.mark.parametrize("figure", [4.5, 5.5])
@pytest.mark.parametrize("said", [{"value": 3.0}, {"cannot_tell": True}])
def test_at_the_edge_of_sight_a_right_number_and_cannot_tell_both_count(monkeypatch, figure, said):
    barely = Shown((1,) if figure > 5 else (), "", "here", figure)
    monkeypatch.setattr("assess.grading.on_films.shown_key", lambda *_: barely)
    assert judged(IN_LINE, Measured(seq=1, **COUNT, **said)).credit == 1


def test_just_beyond_the_edge_only_one_of_the_two_counts(monkeypatch):
    plain = Shown((1,), "On film 1 it stands out.", "film 1", 5.6)
    monkeypatch.setattr("assess.grading.on_films.shown_key", lambda *_: plain)
    assert judged(IN_LINE, Measured(seq=1, **COUNT, cannot_tell=True)).credit == 0


@pytest.mark.parametrize(("level", "credit"), [(1, 1), (2, 1), (3, 0.5)])
def test_a_level_that_rests_on_what_no_film_shows_is_not_demanded(level, credit):
    # upright crown, fine canals: the bend alone makes the form moderate, and no film shows it; one too high earns half
    anatomy = HAIR.anatomy
    crown = replace(anatomy.tooth.crown, off_root_mesiodistal_deg=0.0, off_root_buccolingual_deg=0.0)
    document = case_of(replace(anatomy, tooth=replace(anatomy.tooth, crown=crown)))
    task = "difficulty-levels.canal-form"
    look = Committed(seq=1, case=CASE, stage=Stage.LOOK)
    one = judged(document, look, Levelled(seq=2, case=CASE, task=task, level=level, evidence=("film 1",)), task=task)
    assert one.credit == credit
    assert ("is what your films show" in one.why) is (level == 1)


def test_only_what_is_read_on_films_can_be_left_open():
    length = Measured(seq=1, case=CASE, stage=Stage.OPEN, task="chamber-depth", cannot_tell=True)
    with pytest.raises(AnswerRefused, match="not read on a film"):
        require_fit(IN_LINE, State(closed=(Stage.LOOK, Stage.WEIGH)), length)
    closed = [Committed(seq=n, case=CASE, stage=stage) for n, stage in enumerate((Stage.LOOK, Stage.WEIGH), 1)]
    with pytest.raises(AnswerRefused, match="not read on a film"):
        grade(IN_LINE, [*closed, length.model_copy(update={"seq": 3})])


OLD = {"seq": 1, "case": CASE, "stage": "look"}
MEASURED = OLD | {"event": "measured", "task": "canal-count"}
MARKED = OLD | {"event": "marked", "task": "apex-mark"}
TIP = {"film": 1, "size_px": [1450, 1100], "points_px": [[900, 800]]}


@pytest.mark.parametrize("event", [MEASURED | {"value": 2}, MARKED | TIP])
def test_an_event_from_before_the_choice_is_as_valid_as_it_was(event):
    assert EVENT.validate_json(json.dumps(event)).cannot_tell is False


@pytest.mark.parametrize(
    ("event", "sentence"),
    [
        (MEASURED, "value is missing"),
        (MEASURED | {"value": 2, "cannot_tell": True}, "give the one or the other"),
        (MEASURED | {"film": 1, "cannot_tell": True}, "give the one or the other"),
        (MARKED | TIP | {"cannot_tell": True}, "give the one or the other"),
        (MARKED | TIP | {"points_px": []}, "points_px is missing"),
        (MARKED | {"points_px": [[1, 1]]}, "film is missing"),
    ],
)
def test_an_event_is_a_reading_or_leaves_it_open_and_never_both(event, sentence):
    with pytest.raises(ValidationError, match=sentence):
        EVENT.validate_json(json.dumps(event))
