"""A case file may hold all that anatomy knows: it loads, says itself again, and its facts follow."""

import json
from dataclasses import replace
from pathlib import Path

import pytest
from pydantic import ValidationError

from casebank.anatomy import CanalStone, Chamber, ChamberStone, ExternalResorption, InternalResorption, Lesion
from casebank.casefile.diagnosis_fits import shown_by
from casebank.casefile.document import Document
from casebank.difficulty.facts import measured_from
from tests.casebank.radiograph.stock import upright, with_canal, with_root

CASE = Path(__file__).parents[3] / "fixtures" / "cases" / "leaning-abutment.case.json"
RICH = {
    "restorations": {
        "fillings": [{"surfaces": ["mesial", "occlusal"], "material": "amalgam", "base_mm": 0.5}],
        "root_fillings": [{"canal": "MB", "short_mm": 3.0, "voids": [{"short_mm": 6.0, "length_mm": 1.0}]}],
        "posts": [{"canal": "D", "length_mm": 5.0, "diameter_mm": 1.2, "material": "fibre"}],
        "fragments": [{"canal": "ML", "short_mm": 1.0, "length_mm": 3.0}],
        "chamber": "composite",
    },
    "damage": {
        "caries": [{"surface": "distal", "depth_mm": 2.0, "height_mm": 2.5, "above_neck_mm": -0.5}],
        "open_margins": [{"side": "mesial", "height_mm": 0.4}],
    },
    "dense_bone": [{"root": "D", "mesiodistal_mm": 5.0, "buccolingual_mm": 5.0, "height_mm": 5.0}],
}


def with_anatomy(**changes: object) -> str:
    document = json.loads(CASE.read_text(encoding="utf-8"))
    document["anatomy"] |= changes
    return json.dumps(document)


def test_a_document_with_every_restoration_loads_and_says_itself_again():
    document = Document.model_validate_json(with_anatomy(**RICH))
    assert document.anatomy.restorations.posts[0].above_mm == 3.0
    assert document.anatomy.damage.open_margins[0].depth_mm == 1.2
    again = Document.model_validate_json(document.model_dump_json())
    assert again == document


@pytest.mark.parametrize(
    ("changes", "words"),
    [
        (
            {"restorations": {"posts": [{"canal": "D", "length_mm": 50.0, "diameter_mm": 1.0, "material": "metal"}]}},
            "shorten",
        ),
        ({"restorations": {"fillings": [{"surfaces": ["roof"], "material": "amalgam"}]}}, "mesial"),
        ({"damage": {"chips": [{"side": "distal", "width_mm": -1.0, "height_mm": 1.0}]}}, "a distal chip needs"),
    ],
)
def test_what_does_not_fit_is_an_error_of_the_document(changes, words):
    with pytest.raises(ValidationError, match=words):
        Document.model_validate_json(with_anatomy(**changes))


def test_bone_lost_under_the_furcation_alone_is_no_apical_lesion():
    furcal = {"root": "M", "mesiodistal_mm": 3.0, "buccolingual_mm": 3.0, "height_mm": 3.0, "site": "furcal"}
    assert not shown_by(Document.model_validate_json(with_anatomy(lesions=[furcal]))).lesion
    assert shown_by(Document.model_validate_json(with_anatomy(lesions=[furcal | {"site": "apical"}]))).lesion


def test_stones_and_resorptions_are_facts_of_the_anatomy():
    plain = upright()
    stony = with_canal(plain, "D", stones=(CanalStone(3.0, 0.4, 1.0),))
    chamber = Chamber(5.0, 8.3, 5.6, 4.2, (ChamberStone(6.6, 1.0, 1.0, 1.0),))
    assert measured_from(plain)["pulp_stones"].value == "none described"
    for anatomy in (stony, replace(plain, tooth=replace(plain.tooth, chamber=chamber))):
        assert measured_from(anatomy)["pulp_stones"].value == "present"
    inside = with_canal(plain, "D", resorptions=(InternalResorption(4.0, 1.4, 2.0),))
    outside = with_root(plain, "D", resorptions=(ExternalResorption(6.0, 0.0, 0.5, 2.0, 2.0),))
    for anatomy, word in ((plain, "none described"), (inside, "internal"), (outside, "external")):
        assert measured_from(anatomy)["resorption"].value == word


@pytest.mark.parametrize(("lost_mm", "word"), [(1.6, "minor apical"), (2.0, "minor apical"), (2.1, "extensive apical")])
def test_up_to_two_millimetres_of_a_roots_end_are_minor(lost_mm, word):
    short = with_root(upright(), "D", end="resorbed", lost_mm=lost_mm)
    assert measured_from(short)["resorption"].value == word


def test_a_furcal_lesion_needs_no_level_and_a_lateral_one_does():
    assert Lesion("M", 3, 3, 3, site="furcal").at_mm is None
    with pytest.raises(ValueError, match="is lateral: a lateral one needs its level"):
        Lesion("M", 3, 3, 3, site="lateral")
