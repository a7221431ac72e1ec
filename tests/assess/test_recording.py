"""Recording: what can be an event of this case in this stage is stored as canonical JSON; all else is refused."""

import json

import pytest
from django.core.exceptions import PermissionDenied

from assess import actions
from assess.grading.fits import MOST_FURTHER_FILMS
from assess.log import Stage
from assess.models import Event

VIEW = {"stage": "look", "horizontal_deg": 20.0, "reason": "to part the mesial canals"}
DIAGNOSIS = {"stage": "look", "task": "pulpal-diagnosis", "values": ["pulp necrosis"], "confidence": "sure"}
BEND = {"stage": "look", "task": "curvature", "value": 17, "of": "MB", "film": 1}
TIP = {"stage": "look", "task": "apex-mark", "film": 1, "size_px": [1450, 1100], "points_px": [[900.5, 800]]}
RINSE = {"kind": "irrigate", "ml": 2.0}


@pytest.fixture
def record(attempt, student, noon):
    def record(event, *, by=student, key="", **fields):
        return actions.record(attempt=attempt, event=event, fields=fields, by=by, now=noon, key=key)

    return record


@pytest.mark.parametrize(
    ("event", "fields"),
    [
        ("asked", {"finding": "c"}),
        ("film", VIEW),
        ("chose", DIAGNOSIS),
        ("measured", BEND),
        ("measured", BEND | {"of": "DL"}),  # another usual canal: whether this tooth has it is not given away
        ("measured", BEND | {"of": None}),  # "a canal I cannot name"
        ("marked", TIP),
        ("chose", {"stage": "look", "task": "proof", "values": ["a", "film 1"]}),
    ],
)
def test_what_fits_is_stored_and_read_back(record, attempt, noon, event, fields):
    stored = record(event, **fields)
    stored.refresh_from_db()
    assert (stored.seq, stored.kind, stored.at) == (1, event, noon)
    assert attempt.log() == [stored.event]
    assert json.loads(stored.payload).items() >= {"event": event, "seq": 1, "case": "leaning-abutment"}.items()
    assert stored.payload == stored.event.model_dump_json()


@pytest.mark.parametrize(
    ("event", "fields", "sentence"),
    [
        ("asked", {"finding": "z"}, "There is no finding z in this chart"),
        ("asked", {"finding": "a"}, "Finding a is there from the start"),
        ("asked", {"finding": "cc"}, "finding: "),
        ("film", VIEW | {"reason": ""}, "reason: "),
        ("film", VIEW | {"reason": "     "}, "A film is taken for a reason"),
        ("film", VIEW | {"reason": "x" * 501}, "reason: "),
        ("film", VIEW | {"reason": "x" * 9000}, "This is too long to be stored"),
        ("film", VIEW | {"reason": "half a letter \ud83d"}, "This cannot be read"),
        ("film", VIEW | {"horizontal_deg": 46.0}, "horizontal_deg: "),
        ("film", VIEW | {"horizontal_deg": float("nan")}, "This cannot be read"),
        ("chose", DIAGNOSIS | {"task": "colour"}, "This case asks no colour"),
        ("chose", DIAGNOSIS | {"task": "pulpal-diagnosis.MB"}, "This case asks no pulpal-diagnosis.MB"),
        ("chose", DIAGNOSIS | {"values": ["bad tooth"]}, "'bad tooth', which is no option here"),
        ("chose", DIAGNOSIS | {"values": ["pulp necrosis", "normal pulp"]}, "2 options picked, at most 1"),
        ("chose", DIAGNOSIS | {"values": []}, "values: "),
        ("chose", DIAGNOSIS | {"confidence": "quite"}, "confidence: "),
        ("chose", DIAGNOSIS | {"task": "axis", "values": ["roots"]}, "is asked in Open, not in Look"),
        ("chose", DIAGNOSIS | {"task": "curvature"}, "Strongest bend asks for a measure"),
        ("chose", {"stage": "look", "task": "proof", "values": ["z"]}, "You have no finding z"),
        ("chose", {"stage": "look", "task": "proof", "values": ["c"]}, "You have no finding c"),
        ("chose", {"stage": "look", "task": "proof", "values": ["film 2"]}, "Film 2 was never taken"),
        ("chose", {"stage": "look", "task": "proof", "values": ["film 0"]}, "Film 0 was never taken"),
        ("measured", BEND | {"film": 2}, "Film 2 was never taken"),
        ("measured", BEND | {"of": "Q9"}, "There is no canal Q9 to measure here"),
        ("measured", BEND | {"value": 1e9}, "is no reading"),
        ("measured", BEND | {"value": "17"}, "value: "),
        ("measured", {"stage": "look", "task": "canal-count", "value": 2.5}, "2.5 is no count"),
        ("marked", TIP | {"film": 3}, "Film 3 was never taken"),
        ("marked", TIP | {"points_px": [[1451, 3]]}, "outside the picture"),
        ("marked", TIP | {"points_px": [[1, 1]] * 4}, "4 marks set, at most 3"),
        ("measured", BEND | {"points_px": [[1, 1]] * 2000}, "too long"),
        ("chose", DIAGNOSIS | {"score": 100}, "score: this key is not known here"),
        ("chose", DIAGNOSIS | {"seq": 9}, "This cannot be stored"),
        ("chose", DIAGNOSIS | {"case": "another"}, "This cannot be stored"),
        ("committed", {"stage": "look"}, "This cannot be stored"),
        ("self-graded", {"percents": {"look": 100}}, "This cannot be stored"),
        ("dreamt", {}, "This cannot be stored"),
        ("chose", {"task": {1, 2}}, "This cannot be read"),
    ],
)
def test_what_does_not_fit_is_refused_in_one_sentence_and_not_stored(record, event, fields, sentence):
    with pytest.raises(actions.Refused) as refusal:
        record(event, **fields)
    said = str(refusal.value)
    assert sentence in said
    assert "\n" not in said
    assert len(said) < 400
    assert not Event.objects.exists()


@pytest.mark.parametrize("task", ["working-length.MB", "working-length.DB", "gauge.MB", "gauge.DB"])
def test_a_refusal_in_look_does_not_tell_which_canals_there_are(record, task):
    with pytest.raises(actions.Refused) as refusal:
        record("measured", stage="look", task=task, value=19.5)
    assert "is asked in Shape, not in Look" in str(refusal.value)


@pytest.mark.parametrize("event", ["moved", "measured"])
@pytest.mark.parametrize("canal", ["MB", "DB"])
def test_what_belongs_to_a_later_stage_is_refused_alike_for_every_canal(record, event, canal):
    fields = {
        "moved": {"canal": canal, "move": RINSE},
        "measured": {"stage": "shape", "task": f"working-length.{canal}", "value": 19.5},
    }
    with pytest.raises(actions.StageClosed, match="Look is open now, and this belongs to another stage"):
        record(event, **fields[event])


@pytest.mark.parametrize(
    ("event", "fields", "sentence"),
    [
        ("moved", {"canal": "DB", "move": RINSE}, "There is no canal DB here: this tooth has MB, ML, D"),
        ("moved", {"canal": "MB", "move": {"kind": "drill"}}, "move"),
        ("moved", {"canal": "MB", "move": {"kind": "hand_file", "size": 11, "to_mm": 19.0}}, "there is no size 11"),
        (
            "measured",
            {"stage": "shape", "task": "working-length.DB", "value": 19.5},
            "asks no working-length",
        ),
        ("measured", {"stage": "shape", "task": "working-length.MB", "value": 19.5, "of": "D"}, "There is no canal D"),
        ("measured", {"stage": "shape", "task": "gauge.MB", "value": 30}, "is judged by what you do at the bench"),
    ],
)
def test_at_the_bench_canals_and_moves_must_exist(record, work, event, fields, sentence):
    work(until=Stage.OPEN)
    before = Event.objects.count()
    with pytest.raises(actions.Refused, match=sentence):
        record(event, **fields)
    assert Event.objects.count() == before


@pytest.mark.parametrize(
    ("fields", "sentence"),
    [
        ({"task": "difficulty-levels.mood"}, "This case asks no difficulty-levels.mood"),
        ({"task": "decision"}, "asks for a choice"),
        ({"task": "overall", "level": 4}, "level 4 does not exist"),
        ({"task": "overall", "evidence": ["c"]}, "You have no finding c"),
        ({"task": "overall", "evidence": ["film 2"]}, "Film 2 was never taken"),
    ],
)
def test_a_level_needs_a_factor_that_exists_and_evidence_that_was_seen(
    record, attempt, student, noon, fields, sentence
):
    actions.commit_stage(attempt=attempt, stage=Stage.LOOK, by=student, now=noon)
    with pytest.raises(actions.Refused, match=sentence):
        record("levelled", **{"level": 1, **fields})


def test_the_last_answer_counts_and_the_earlier_ones_stay(record, attempt):
    record("chose", **DIAGNOSIS | {"values": ["normal pulp"]})
    record("chose", **DIAGNOSIS)
    assert attempt.state().answers["pulpal-diagnosis"].values == ("pulp necrosis",)
    assert attempt.events.count() == 2


def test_a_finding_is_asked_for_once(record, attempt):
    first = record("asked", finding="c")
    record("asked", finding="d")
    assert record("asked", finding="c", key="another") == first
    assert attempt.events.count() == 2


def test_a_film_that_the_receptor_could_not_catch_is_refused(record, monkeypatch):
    record("film", **VIEW | {"horizontal_deg": 45.0, "vertical_deg": 45.0})  # 60° off square: acos(cos 45° cos 45°)
    monkeypatch.setattr("casebank.radiograph.view.STEEPEST_DEG", 59.0)
    with pytest.raises(actions.Refused, match="This film cannot be taken: the beam would graze the receptor"):
        record("film", **VIEW | {"horizontal_deg": 45.0, "vertical_deg": 45.0})


def test_films_can_be_taken_up_to_a_number(record, attempt):
    for _ in range(MOST_FURTHER_FILMS):
        record("film", **VIEW)
    with pytest.raises(actions.Refused, match="20 further films"):
        record("film", **VIEW)


def test_the_same_key_is_stored_once_even_after_the_commit(record, attempt, student, noon):
    first = record("chose", key="k1", **DIAGNOSIS)
    assert record("chose", key="k1", **DIAGNOSIS) == first
    actions.commit_stage(attempt=attempt, stage=Stage.LOOK, by=student, now=noon)
    assert record("chose", key="k1", **DIAGNOSIS) == first
    assert attempt.events.count() == 2


def test_a_key_does_not_stand_for_two_contents(record, attempt):
    record("chose", key="k1", **DIAGNOSIS)
    with pytest.raises(actions.Refused, match="once before with other content"):
        record("chose", key="k1", **DIAGNOSIS | {"values": ["normal pulp"]})
    assert attempt.state().answers["pulpal-diagnosis"].values == ("pulp necrosis",)


@pytest.mark.parametrize("key", ["x" * 65, "é", "a\nb", "a\x00b"])
def test_a_key_is_short_and_plain(record, key):
    with pytest.raises(actions.Refused, match="at most 64 plain characters"):
        record("chose", key=key, **DIAGNOSIS)


def test_what_comes_late_is_refused_and_changes_nothing(record, attempt, student, noon):
    record("chose", **DIAGNOSIS)
    actions.commit_stage(attempt=attempt, stage=Stage.LOOK, by=student, now=noon)
    with pytest.raises(actions.StageClosed, match="Weigh is open now"):
        record("chose", **DIAGNOSIS | {"values": ["normal pulp"]})
    assert attempt.state().answers["pulpal-diagnosis"].values == ("pulp necrosis",)


@pytest.mark.parametrize("who", ["fellow", "instructor", "outsider"])
def test_nobody_else_can_add_to_an_attempt(request, record, who):
    with pytest.raises(PermissionDenied, match="Only the student who started this attempt"):
        record("chose", by=request.getfixturevalue(who), **DIAGNOSIS)
    assert not Event.objects.exists()
