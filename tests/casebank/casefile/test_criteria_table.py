"""One case under every set: the leaning abutment worked by hand, and the same bend by every construction."""

import json

import pytest

from casebank.casefile import compare_sets, parse_document
from casebank.difficulty import CriteriaError, criteria_named, use_folder
from casebank.radiograph import View
from tests.casebank.difficulty.test_own_sets import OWN
from tests.factories import LEANING_ABUTMENT, leaning_abutment


@pytest.fixture(scope="module")
def table():
    return compare_sets(leaning_abutment()[1])


def under(table, name):
    return next(column for column in table.columns if column.criteria.name == name)


def with_changes(**fields):
    record = json.loads(LEANING_ABUTMENT.read_text(encoding="utf-8")) | fields
    return parse_document(json.dumps(record).encode(), name="changed")


def test_the_case_s_own_set_stands_first_and_every_set_has_a_column(table):
    names = [column.criteria.name for column in table.columns]
    assert names == ["aae-2022", "aae-2005-2010", "ese-1992", "rcs-2001"]
    assert table.own == "aae-2022"


@pytest.mark.parametrize(
    ("name", "word"),
    [
        ("aae-2022", "high"),  # place and crown are high
        ("aae-2005-2010", "high"),  # the same two
        ("ese-1992", "complicated"),  # bent by 18°, above 15
        ("rcs-2001", "moderate"),  # bent by 18°, between 15 and 40; no modifier, healthy gums
    ],
)
def test_the_leaning_abutment_under_each_set(table, name, word):
    assert under(table, name).judgement.overall.word == word


def test_its_points_are_counted_over_the_seventeen_factors(table):
    # moderate: a mild condition, form and sight of the canals; high: place and crown; 12 · 1 + 3 · 2 + 2 · 5
    points = under(table, "aae-2005-2010").judgement.points
    assert points.total == 28
    assert points.reason.startswith("28 points over 17 factors (minimal 1, moderate 2, high 5), 20 to 40 points: ")
    assert under(table, "aae-2022").judgement.points is None


def test_a_factor_stands_in_one_row_whatever_set_asks_it(table):
    rows = {row.id: row for group in table.groups for row in group.rows}
    assert len(rows) == sum(len(group.rows) for group in table.groups) == 17 + 3  # shared care, contents, again
    assert [level and level.word for level in rows["canal-form"].levels] == [
        "moderate",
        "moderate",
        "complicated",
        "moderate",
    ]
    assert [level and level.word for level in rows["again"].levels] == [None, None, None, "absent"]
    assert [group.name for group in table.groups] == ["the person", "the mouth", "the film", "the past"]


def test_the_same_canal_by_every_construction(table):
    # the author's arc turns by 36° to the foramen in the film's plane; by the tangent-chord theorem its secant is 18°
    read = {one.method.id: one for one in table.readings}
    assert read["Schneider"].angle_deg == pytest.approx(18.0, abs=0.5)
    assert read["end tangents"].angle_deg == pytest.approx(36.0, abs=0.5)
    assert read["canal access angle"].angle_deg < read["Schneider"].angle_deg
    assert (read["Schneider"].class_word, read["end tangents"].class_word) == ("moderate", "")
    assert "up to twice" in table.note
    assert table.canal in ("MB", "ML")


def test_another_construction_would_give_another_level(table):
    read = {one.method.id: one.words for one in table.readings}
    assert read["Schneider"] == ("moderate", "moderate", "complicated", "moderate")
    assert read["end tangents"] == ("high", "high", "complicated", "moderate")  # 36°: above 30, above 15, below 40


def test_the_levels_are_those_of_the_films_that_were_taken():
    document = leaning_abutment()[1]
    turned = compare_sets(document, further=[View(horizontal_deg=20.0)])
    assert {column.criteria.name for column in turned.columns} == {"aae-2022", "aae-2005-2010", "ese-1992", "rcs-2001"}
    only = compare_sets(document, sets=[criteria_named("ese-1992")])
    assert [column.criteria.name for column in only.columns] == ["ese-1992"]


def test_a_school_s_set_is_a_column_and_judges_by_its_own_construction(tmp_path):
    (tmp_path / "year-3-2026.toml").write_text(OWN, encoding="utf-8")
    use_folder(tmp_path)
    try:
        table = compare_sets(leaning_abutment()[1])
        level = under(table, "year-3-2026").judgement.factor("bend")
    finally:
        use_folder(None)
    # 36° by the end tangents, above 30; 18° by Schneider would be the school's own
    assert level.word == "theirs"
    assert "angle between the end tangents (Pruett 1997)" in level.reason


def test_what_a_finding_states_for_a_school_s_set_is_passed_over_by_the_others(tmp_path):
    (tmp_path / "year-3-2026.toml").write_text(OWN, encoding="utf-8")
    record = json.loads(LEANING_ABUTMENT.read_text(encoding="utf-8"))
    record["chart"][0]["states"]["last_in_row"] = "yes"
    use_folder(tmp_path)
    try:
        table = compare_sets(with_changes(criteria="year-3-2026", chart=record["chart"]))
        assert table.columns[0].criteria.name == "year-3-2026"
        assert table.columns[0].judgement.factor("place").word == "theirs"
        assert under(table, "aae-2022").judgement.overall.word == "high"
        with pytest.raises(ValueError, match="states last_in_row, which no rule of aae-2022 reads"):
            compare_sets(with_changes(chart=record["chart"]))
    finally:
        use_folder(None)


def test_a_school_s_faulty_set_keeps_the_table_from_being_made(tmp_path):
    (tmp_path / "year-3-2026.toml").write_text(OWN.replace("above = 30", "above = 31"), encoding="utf-8")
    use_folder(tmp_path)
    try:
        with pytest.raises(
            CriteriaError, match="year-3-2026, factor bend, rule 1, seen_curvature_deg: no band holds 30"
        ):
            compare_sets(leaning_abutment()[1])
    finally:
        use_folder(None)
