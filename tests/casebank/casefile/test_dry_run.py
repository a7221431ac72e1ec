"""A dry run names everything that is wrong with a case file, field by field, and never fails itself."""

import json
from copy import deepcopy
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from casebank.casefile.dry_run import MOST_ERRORS, dry_run

CASE = Path(__file__).parents[3] / "fixtures" / "cases" / "leaning-abutment.case.json"
RECORD = json.loads(CASE.read_text(encoding="utf-8"))


def tried(**changes):
    return dry_run(json.dumps(deepcopy(RECORD) | changes).encode(), name="try.case.json")


def test_a_sound_file_is_a_case_without_error_or_obstacle():
    result = dry_run(CASE.read_bytes(), name=CASE.name)
    assert result.require_document().slug == "leaning-abutment"
    assert (result.errors, result.obstacles) == ((), ())


def test_every_field_that_is_wrong_is_named_at_once():
    result = tried(colour="blue", title="", patient=RECORD["patient"] | {"age": "old"})
    assert result.document is None
    assert {error.split(": ")[0] for error in result.errors} == {
        "try.case.json, colour",
        "try.case.json, title",
        "try.case.json, patient.age",
    }


def test_a_file_for_another_version_is_not_read_further():
    (error,) = tried(schema_version=2, colour="blue").errors
    assert error.startswith("try.case.json, schema_version: 2 is not the version this program reads (1)")
    assert "convert the file" in error


def test_what_contradicts_itself_is_a_case_with_obstacles():
    result = tried(diagnosis=RECORD["diagnosis"] | {"apical": "normal apical tissues"})
    assert result.errors == ()
    assert result.document is not None
    assert any("diagnosis.apical" in obstacle for obstacle in result.obstacles)


def test_a_key_that_is_missing_is_an_error_that_names_the_task():
    choices = {name: key for name, key in RECORD["choices"].items() if name != "seal"}
    (error,) = tried(choices=choices).errors
    assert error.startswith("try.case.json, choices.seal: ")


def test_a_key_without_a_reason_is_not_published():
    choices = RECORD["choices"] | {"seal": RECORD["choices"]["seal"] | {"because": "Better."}}
    obstacles = tried(choices=choices).obstacles
    assert [one for one in obstacles if "seal: nothing says how its reference came about" in one]


def test_a_flood_of_errors_is_cut_with_how_many_more():
    result = tried(**{f"key{number}": 1 for number in range(100)})
    assert len(result.errors) == MOST_ERRORS + 1
    assert result.errors[-1] == f"and {100 - MOST_ERRORS} more: correct these first"


@pytest.mark.parametrize(
    "content", [b"", b"[]", b"{", b"\xff\xfe{", b'{"schema_version": NaN}', b"{}", b" " * 2_000_001]
)
def test_bytes_that_are_no_case_give_one_sentence(content):
    result = dry_run(content, name="try.case.json")
    assert result.document is None
    assert len(result.errors) == 1
    with pytest.raises(ValueError, match=r"try\.case\.json"):
        result.require_document()


@given(st.binary(max_size=200) | st.recursive(st.none() | st.integers() | st.text(), st.lists).map(json.dumps))
def test_no_bytes_make_it_fail(content):
    content = content.encode() if isinstance(content, str) else content
    assert dry_run(content, name="try.case.json").errors
