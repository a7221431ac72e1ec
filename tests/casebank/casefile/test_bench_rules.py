"""An author's rules for the bench in a case file: read whole, refused with their field."""

import json
from pathlib import Path

import pytest

from casebank.casefile import FileRefused, parse_document, read_document
from casebank.instruments.author_rules import SizeAbove

CASE = Path(__file__).parents[3] / "fixtures" / "cases" / "leaning-abutment.case.json"
RULE = {
    "when": "size_above",
    "canal": "MB",
    "size": 40,
    "words": "Too large for this root",
    "reason": "The film shows a thin root.",
}


def document(*rules):
    record = json.loads(CASE.read_text(encoding="utf-8"))
    return parse_document(json.dumps(record | {"bench_rules": list(rules)}).encode(), name="try.case.json")


def test_a_case_without_rules_has_none():
    assert read_document(CASE).bench_rules == ()


def test_a_rule_is_read_and_survives_a_round_trip():
    read = document(RULE)
    assert read.bench_rules == (
        SizeAbove("size_above", 40, "Too large for this root", "The film shows a thin root.", "MB"),
    )
    assert parse_document(read.model_dump_json().encode(), name="again") == read


@pytest.mark.parametrize(
    ("changed", "sentence"),
    [
        ({"canal": "X"}, r"bench_rules\[0\].canal: X is no canal of this tooth: use one of D, MB, ML"),
        ({"size": 33}, r"bench_rules\[0\].*33"),
        ({"size": "large"}, r"bench_rules\[0\].*size"),
        ({"when": "colour_is"}, r"bench_rules\[0\]"),
        ({"words": ""}, r"bench_rules\[0\].*a rule at the bench needs words of 1 to 300 characters"),
        ({"colour": "red"}, r"bench_rules\[0\].*colour"),
        ({"when": "taper_above"}, r"bench_rules\[0\].*"),
        ({"when": "kind_used", "kind": "hammer"}, r"bench_rules\[0\].*"),
    ],
)
def test_a_rule_that_cannot_be_is_refused_with_its_field(changed, sentence):
    with pytest.raises(FileRefused, match=sentence):
        document(RULE | changed)


def test_more_rules_than_anyone_reads_are_refused():
    with pytest.raises(FileRefused, match="bench_rules"):
        document(*[RULE] * 13)
