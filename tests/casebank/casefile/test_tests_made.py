"""The tests and signs a finding can report, and what is refused."""

import json
from pathlib import Path
from typing import get_args

import pytest
from pydantic import ValidationError

from casebank.casefile import FileRefused, parse_document
from casebank.casefile.tests_made import PULP_TESTS, RESPONSES, TENDERNESS_TESTS, TestKind, ToothTest

CASE = Path(__file__).parents[3] / "fixtures" / "cases" / "leaning-abutment.case.json"


def test_every_kind_of_test_has_responses_and_can_fail_to_be_done():
    assert set(RESPONSES) == set(get_args(TestKind))
    assert all("cannot be done" in responses for responses in RESPONSES.values())
    assert not PULP_TESTS & TENDERNESS_TESTS


@pytest.mark.parametrize(
    ("kind", "response", "of_the_pulp", "of_tenderness"),
    [
        ("cold", "lingering", True, False),
        ("electric", "none", True, False),
        ("percussion", "tender", False, True),
        ("probing", "narrow and deep", False, False),
    ],
)
def test_a_test_knows_what_it_asks(kind, response, of_the_pulp, of_tenderness):
    made = ToothTest(kind=kind, tooth=37, response=response)
    assert (made.of_the_pulp, made.of_tenderness, made.done) == (of_the_pulp, of_tenderness, True)
    assert not ToothTest(kind=kind, tooth=37, response="cannot be done").done


@pytest.mark.parametrize(
    ("kind", "tooth", "response", "words"),
    [
        ("cold", 37, "tender", "cold cannot answer 'tender': give one of none, normal, heightened"),
        ("percussion", 37, "none", "percussion cannot answer 'none': give one of tender, not tender"),
        ("pulse oximetry", 37, "lingering", "pulse oximetry cannot answer 'lingering'"),
        ("cold", 39, "none", "tooth 39 is no permanent tooth"),
        ("cold", 55, "none", "tooth 55 is no permanent tooth"),
        ("tapping", 37, "none", "Input should be 'cold'"),
    ],
)
def test_a_test_that_cannot_be_is_refused_in_words(kind, tooth, response, words):
    with pytest.raises(ValidationError, match=words):
        ToothTest(kind=kind, tooth=tooth, response=response)


@pytest.mark.parametrize(
    ("field", "value", "words"),
    [
        ("test", {"kind": "cold", "tooth": 37, "response": "loud"}, r"chart\[2\].test: cold cannot answer 'loud'"),
        ("test", {"kind": "cold", "tooth": 37}, r"chart\[2\].test.response: missing: add it"),
        ("signs", {"swelling": "some"}, r"chart\[2\].signs.swelling: input should be 'present' or 'absent'"),
        ("signs", {"fever": "present"}, r"chart\[2\].signs.*'swelling'"),
    ],
)
def test_a_case_file_with_an_odd_test_or_sign_is_refused_with_its_field(field, value, words):
    record = json.loads(CASE.read_text(encoding="utf-8"))
    record["chart"][2][field] = value
    with pytest.raises(FileRefused, match=words):
        parse_document(json.dumps(record).encode(), name="try.case.json")


def test_a_finding_without_test_or_sign_says_nothing_to_a_program():
    finding = parse_document(CASE.read_bytes(), name="case").finding("k")
    assert (finding.test, finding.signs) == (None, {})
