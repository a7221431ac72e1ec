"""The case document: read whole, refused in one sentence that names file, field and what to do."""

import json
from copy import deepcopy
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from casebank.casefile import Document, FileRefused, parse_document, read_document

CASE = Path(__file__).parents[3] / "fixtures" / "cases" / "leaning-abutment.case.json"


@pytest.fixture(scope="module")
def record():
    return json.loads(CASE.read_text(encoding="utf-8"))


def changed(record, path, value):
    """A copy of the record with one value set, or removed where the value is `...`."""
    copy = deepcopy(record)
    *steps, last = path
    here = copy
    for step in steps:
        here = here[step]
    if value is ...:
        del here[last]
    else:
        here[last] = value
    return json.dumps(copy).encode()


def test_the_bundled_case_survives_a_round_trip():
    document = read_document(CASE)
    assert parse_document(document.model_dump_json().encode(), name="again") == document


def test_the_schema_forbids_unknown_keys_down_to_the_anatomy():
    schema = Document.model_json_schema()
    assert schema["additionalProperties"] is False
    assert all(part["additionalProperties"] is False for part in schema["$defs"].values() if part["type"] == "object")


CANAL = ("anatomy", "tooth", "canals", 0)
REFUSALS = [
    (("colour",), "blue", "try.case.json, colour: this key is not known here: remove it or correct its spelling"),
    ((*CANAL, "tapper"), 1, r"anatomy.tooth.canals\[0\].tapper: this key is not known"),
    (("title",), ..., "try.case.json, title: missing: add it"),
    (("patient", "age"), "old", "patient.age: input should be a valid integer.*: correct the value"),
    ((*CANAL, "course", "legs", 1, "radius_mm"), -10.0, r"legs\[1\]: a bend with a radius of -10.0 mm cannot be drawn"),
    ((*CANAL, "course", "legs", 0, "length_mm"), 0.0, r"legs\[0\]: a leg of 0.0 mm has no length"),
    (
        (*CANAL, "orifice_mm"),
        [-2.5, -9.0],
        "anatomy.tooth: canal MB leaves root M 0.0 mm below its orifice: move the canal",
    ),
    ((*CANAL, "root"), "X", "anatomy.tooth: canal MB names root X, which this tooth does not have"),
    (("schema_version",), 7, r"schema_version: 7 is not the version this program reads \(1\)"),
    (("chart", 2, "letter"), "z", "findings are lettered a, b, c … in order"),
    (("chart", 0, "minutes"), 1.0, "finding a is shown at the start, so it costs no time"),
    (("preparation", "D"), ..., "preparation must name each canal once: D, MB, ML"),
    (("preparation", "D", "size"), 47, r"preparation.D: there is no size 47"),
    (("marked_root",), "P", "marked_root P is no root of this tooth"),
    (("slug",), "Leaning Abutment", "slug: string should match pattern"),
]


@pytest.mark.parametrize(("path", "value", "sentence"), REFUSALS, ids=[".".join(map(str, row[0])) for row in REFUSALS])
def test_a_broken_case_is_refused_in_one_sentence(record, path, value, sentence):
    with pytest.raises(FileRefused, match=sentence) as refusal:
        parse_document(changed(record, path, value), name="try.case.json")
    assert "\n" not in str(refusal.value)


def test_a_number_is_not_guessed_from_a_text(record):
    with pytest.raises(FileRefused, match="furcation_mm"):
        parse_document(changed(record, ("anatomy", "tooth", "furcation_mm"), "11"), name="try")


@given(st.binary(max_size=60))
def test_no_bytes_lead_to_anything_but_a_refusal(content):
    with pytest.raises(FileRefused, match=r"^junk"):
        parse_document(content, name="junk")
