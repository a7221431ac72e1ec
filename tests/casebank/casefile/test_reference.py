"""Reference answers: computed from the anatomy, or the author's with a reason; each shows its working."""

import json
from copy import deepcopy
from pathlib import Path

import pytest

from casebank.casefile import FileRefused, derive, parse_document, read_case, read_document, reference_record
from casebank.radiograph import View

CASE = Path(__file__).parents[3] / "fixtures" / "cases" / "leaning-abutment.case.json"


@pytest.fixture(scope="module")
def document():
    return read_document(CASE)


@pytest.fixture(scope="module")
def reference(document):
    return derive(document)


def test_every_task_has_an_answer_with_working_and_the_weights_make_the_whole(reference):
    assert {task.id for task in reference.tasks} == set(reference.answers)
    assert all(answer.working and all(answer.working) for answer in reference.answers.values())
    for axis in reference.rubric.axes:
        assert sum(one.weight for one in reference.tasks if one.criterion.axis == axis) == pytest.approx(100), axis


@pytest.mark.parametrize(("canal", "length_mm"), [("MB", 19.3), ("ML", 19.1), ("D", 18.8)])
def test_working_length_ends_half_a_millimetre_short_of_the_foramen(reference, canal, length_mm):
    # cusp to foramen 19.8, 19.6, 19.3 mm by the author; 0.5 to 1.0 mm short of the foramen is the published target
    assert reference.answers[f"working-length.{canal}"].value.value == pytest.approx(length_mm, abs=0.001)


def test_the_strongest_bend_is_that_of_a_mesial_canal(reference):
    # an arc of 36 degrees ending at the foramen has a secant of 18 (tangent-chord theorem), in the film's plane
    answer = reference.answers["curvature"].value
    assert answer.value == pytest.approx(18.0, abs=0.5)
    assert answer.of == {"MB", "ML"}


def test_a_bend_is_judged_by_the_films_that_were_taken(document):
    straight = derive(document, further=[])
    turned = derive(document, further=[View(horizontal_deg=20.0)])
    assert set(straight.answers["curvature"].by_film) == {1}
    assert set(turned.answers["curvature"].by_film) == {1, 2}


def test_two_high_factors_make_the_case_high(reference):
    levels = {factor.factor_id: factor.word for factor in reference.judgement.factors}
    assert {factor: word for factor, word in levels.items() if word != "low"} == {
        "position": "high",
        "crown": "high",
        "canal-form": "moderate",
        "canal-sight": "moderate",
    }
    assert reference.judgement.overall.word == "high"
    assert reference.judgement.silent == ()


def test_a_level_is_supported_by_what_shows_it(reference):
    # the bridge is seen when looking (finding b) and on the film; the health form (finding l) shows neither
    assert reference.answers["difficulty-levels.crown"].value.evidence == {"b", "film 1", "film 2"}
    assert reference.answers["difficulty-levels.health"].value.evidence == {"l"}


def test_drilling_along_the_crown_drifts_by_the_tangent_of_the_mismatch(reference):
    # 8.3 mm * tan 24 degrees = 3.70 mm; the roots' tips lie distally, so the drift is mesial
    assert "drifts 3.7 mm mesially" in " ".join(reference.answers["axis"].working)


@pytest.mark.parametrize(
    ("mesiodistal_deg", "buccolingual_deg", "said"),
    [
        (24.0, 4.0, "drifts 3.7 mm mesially"),  # 8.3 · tan 24° = 3.695
        (-10.0, 4.0, "drifts 1.5 mm distally"),  # 8.3 · tan 10° = 1.464
        (2.0, 15.0, "drifts 2.2 mm buccally"),  # 8.3 · tan 15° = 2.224
        (2.0, -15.0, "drifts 2.2 mm lingually"),
        (0.0, 0.0, "The crown's axis follows the roots'"),
    ],
)
def test_the_greater_departure_of_the_crown_is_worked_out(document, mesiodistal_deg, buccolingual_deg, said):
    record = json.loads(document.model_dump_json())
    record["anatomy"]["tooth"]["crown"] |= {
        "off_root_mesiodistal_deg": mesiodistal_deg,
        "off_root_buccolingual_deg": buccolingual_deg,
    }
    changed = parse_document(json.dumps(record).encode(), name="changed")
    assert said in " ".join(derive(changed).answers["axis"].working)


def test_every_curvature_prints_its_method(reference):
    working = reference.answers["curvature"].working
    assert all("Schneider 1971" in step or "same construction" in step for step in working)


def test_the_gauge_to_be_found_stands_in_the_reference(reference):
    # the distal canal narrows from 0.80 to 0.33 mm over 10.5 mm; it is 0.35 mm wide 0.45 mm above its constriction
    expected = reference.answers["gauge.D"].value.expected
    assert expected == "after the flare, before shaping: 30 to 18.8 mm, 35 stops 0.4 mm short"


def test_the_record_is_plain_json(document, reference):
    record = json.loads(json.dumps(reference_record(document, reference), allow_nan=False))
    assert [answer["task"] for answer in record["answers"]] == [task.id for task in reference.tasks]


@pytest.mark.parametrize(
    ("path", "value", "sentence"),
    [
        (("choices", "decision"), ..., "choices.decision: the rubric treatment-path asks this: add the author's key"),
        (
            ("choices", "colour"),
            {"best": ["red"], "because": "x"},
            "choices.colour: the rubric treatment-path has no such choice",
        ),
        (("chart", 0, "states"), {"tilt_deg": 3}, "finding a states tilt_deg, which the anatomy gives"),
        (("chart", 0, "states"), {"urgencyy": "little"}, "finding a states urgencyy, which no rule of"),
        (
            ("competencies",),
            ["films", "drill"],
            "competencies: 'drill' is no competency of the framework undergraduate",
        ),
        (("competencies",), ["films", "films"], "competencies: a competency is named twice"),
        (("rubric",), "none-such", "none-such"),
        (("criteria",), "none-such", "none-such"),
    ],
)
def test_a_case_that_does_not_hang_together_is_refused_with_its_field(tmp_path, path, value, sentence):
    record = deepcopy(json.loads(CASE.read_text(encoding="utf-8")))
    here = record
    for step in path[:-1]:
        here = here[step]
    if value is ...:
        del here[path[-1]]
    else:
        here[path[-1]] = value
    file = tmp_path / "try.case.json"
    file.write_text(json.dumps(record), encoding="utf-8")
    with pytest.raises(FileRefused, match=sentence) as refusal:
        read_case(file)
    assert str(refusal.value).startswith("try.case.json, ")


def test_a_document_parses_before_it_is_worked_out():
    assert parse_document(CASE.read_bytes(), name="case").slug == "leaning-abutment"
