"""`manage.py opening`: prints the field of a case file and what it comes to, and writes that field and nothing else."""

import io
import json
from pathlib import Path

import pytest
from django.core.management import CommandError, call_command

from casebank.casefile import read_document
from casebank.casefile.opened import usual_plan_of
from casebank.management.splicing import with_field

CASES = Path(__file__).parents[2] / "fixtures" / "cases"
ENGRAVER = CASES / "map-engraver.case.json"


def run(*words):
    """What it prints, on standard output and beside it."""
    out, beside = io.StringIO(), io.StringIO()
    call_command("opening", *words, stdout=out, stderr=beside)
    return out.getvalue(), beside.getvalue()


def without_opening(path):
    record = json.loads(ENGRAVER.read_text(encoding="utf-8"))
    record.pop("opening", None)
    path.write_text(json.dumps(record, indent=2, ensure_ascii=False) + "\n", encoding="utf-8")
    return path


def test_it_prints_the_field_and_the_verdict_apart():
    out, beside = run(str(ENGRAVER))
    assert set(json.loads(out)) == {"outline_mm", "depth_mm", "distal_deg", "lingual_deg"}
    assert beside.startswith("In short: right.\n")
    assert "Canal MB2" in beside


def test_it_writes_the_field_leaves_all_else_and_does_the_same_again(tmp_path):
    path = without_opening(tmp_path / "new.case.json")
    before = path.read_text(encoding="utf-8")
    run(str(path))
    assert path.read_text(encoding="utf-8") == before
    out, _ = run(str(path), "--write")
    after = path.read_text(encoding="utf-8")
    assert json.loads(after) == json.loads(before) | {"opening": json.loads(out)}
    assert after.startswith(before.removesuffix("\n}\n"))
    run(str(path), "--write")
    assert path.read_text(encoding="utf-8") == after
    assert [one.name for one in tmp_path.iterdir()] == ["new.case.json"]


@pytest.mark.parametrize("path", sorted(CASES.glob("*.case.json")), ids=lambda path: path.name.split(".")[0])
def test_the_bundled_cases_hold_what_it_prints(path):
    assert json.loads(run(str(path))[0]) == json.loads(path.read_text(encoding="utf-8"))["opening"]
    assert usual_plan_of(read_document(path)) == read_document(path).opening.plan()


def test_what_is_no_case_is_refused_in_one_sentence(tmp_path):
    wrong = tmp_path / "wrong.case.json"
    wrong.write_text('{"schema_version": 7}', encoding="utf-8")
    with pytest.raises(CommandError, match=r"wrong\.case\.json, schema_version: 7 is not the version") as refusal:
        run(str(wrong), "--write")
    assert refusal.value.returncode == 2
    assert wrong.read_text(encoding="utf-8") == '{"schema_version": 7}'


@pytest.mark.parametrize(
    ("text", "after"),
    [
        ('{"a": [1, {"b": "}"}]}', '{"a": [1, {"b": "}"}], "b": 2}'),
        ('{"b": {"b": 1}, "a": 0}', '{"b": 2, "a": 0}'),
        ("{}", '{ "b": 2}'),
        ('{\n    "a": 1\n}\n', '{\n    "a": 1,\n    "b": 2\n}\n'),
        ('{\n  "b" :\t9 ,\n  "a": "\\u007b"\n}', '{\n  "b" :\t2 ,\n  "a": "\\u007b"\n}'),
    ],
)
def test_a_field_is_set_whatever_the_style(text, after):
    assert with_field(text, "b", 2) == after
    assert json.loads(after) == json.loads(text) | {"b": 2}
