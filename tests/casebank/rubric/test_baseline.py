"""The frozen table of constant answers: read, refused with file and field, and the same when it is fitted anew."""

import pytest

from casebank.rubric import LevelSaid, RubricError, bundled, bundled_names
from casebank.rubric.baseline import CANNOT_TELL, MOVES_AT_RANDOM, baseline_for, load_baseline, table_name
from casebank.rubric.skill_random import LEFT_OUT, Setting
from fixtures.bank import bank
from fixtures.baselines import FOLDER, table_text

RUBRIC = bundled("treatment-path")
IN_USE = sorted({member.document.rubric for member in bank()})
HEAD = f'schema = 1\nrubric = "{RUBRIC.id}"\nversion = {RUBRIC.version}\nedition = 2\npopulation = "Two cases."\n'
ROW = '[[row]]\nid = "axis"\nsaid = ["roots"]\nmean = 0.75\n'


def loaded(text):
    return load_baseline(text, "small.toml", RUBRIC)


@pytest.mark.parametrize("name", IN_USE)
def test_fitting_anew_gives_the_very_table_that_is_kept(name):
    rubric = bundled(name)
    kept = (FOLDER / table_name(rubric)).read_text(encoding="utf-8")
    edition = baseline_for(rubric).edition
    assert table_text(rubric, bank(name), edition) == kept, "run python -m fixtures.baselines"


@pytest.mark.parametrize("name", IN_USE)
def test_the_table_answers_every_criterion(name):
    rubric, table = bundled(name), baseline_for(bundled(name))
    assert {one.id for one in rubric.criteria if one.kind not in LEFT_OUT} <= set(table.rows)
    assert {row for row in table.rows if table.rows[row].said == MOVES_AT_RANDOM} == {
        one.id for one in rubric.criteria if one.kind == "bench"
    }
    assert table.edition >= 1
    assert "cases" in table.population


def test_a_table_is_read():
    table = loaded(HEAD + ROW + '[[row]]\nid = "canal-count"\nway = "cannot tell"\nmean = 0.5\n')
    assert (table.rubric, table.edition, table.population) == ("treatment-path 2", 2, "Two cases.")
    assert (table.rows["axis"].said, table.rows["axis"].mean) == (("roots",), 0.75)
    assert table.rows["canal-count"].said == CANNOT_TELL


@pytest.mark.parametrize(
    ("text", "sentence"),
    [
        ("schema = ", "small.toml: not valid TOML"),
        (HEAD.replace("schema = 1", "schema = 2") + ROW, "schema: 2 is not the schema"),
        (HEAD.replace("version = 2", "version = 9") + ROW, "rubric: it answers treatment-path 9"),
        (HEAD.replace("edition = 2", "edition = 0") + ROW, "edition: 0 is no edition"),
        (HEAD + ROW.replace('"axis"', '"colour"'), "row 1.id: .*no criterion colour"),
        (HEAD + ROW.replace("0.75", "1.5"), "row 1.mean: 1.5 is no mean credit"),
        (HEAD + ROW.replace("0.75", "nan"), "row 1.mean: nan is not finite"),
        (HEAD + ROW + "note = 1\n", "row 1.note: this key is not known"),
        (HEAD + ROW.replace('said = ["roots"]', 'way = "by luck"'), "row 1.way: 'by luck' is not known"),
        (HEAD + ROW.replace('said = ["roots"]\n', ""), "said: missing"),
    ],
)
def test_a_table_that_cannot_be_used_is_refused_with_file_and_field(text, sentence):
    with pytest.raises(RubricError, match=sentence):
        loaded(text)


def test_a_rubric_without_a_table_is_corrected_for_random_answers_alone():
    without = next(bundled(name) for name in bundled_names() if name not in IN_USE)
    table = baseline_for(without)
    assert (table.edition, table.rows) == (0, {})
    axis = next(task for task in without.tasks(canals=("A",), factors=("f",)) if task.id == "axis")
    member = bank()[0]
    guess = table.guess(axis, member.reference.answers["axis"].value, Setting(pins=20, canals=1))
    assert guess.usual == guess.here == guess.at_random


def test_a_factor_the_table_does_not_know_is_answered_as_all_factors_together():
    table = loaded(HEAD + '[[row]]\nid = "difficulty-levels"\nsaid = { level = 2 }\nmean = 0.6\n')
    member = bank()[0]
    task = next(task for task in member.reference.tasks if task.id.startswith("difficulty-levels."))
    guess = table.guess(task, member.reference.answers[task.id].value, Setting(pins=20, canals=2))
    assert table.rows["difficulty-levels"].said == LevelSaid(2)
    assert guess.usual == 0.6
