"""The commands as a user runs them: output on success, one sentence and exit code 2 on refusal, never a database."""

import io
import json
import os
import subprocess
import sys
from pathlib import Path

import pytest
from django.core.management import CommandError, call_command
from PIL import Image

from casebank.difficulty import criteria_named, criteria_names

ROOT = Path(__file__).parent.parent
CASE = str(ROOT / "fixtures/cases/leaning-abutment.case.json")
SOUND = str(ROOT / "fixtures/logs/leaning-abutment.sound.json")


def output_of(*words):
    """What a command prints. A test without the database mark fails if it touches the database."""
    out = io.StringIO()
    call_command(*words, stdout=out)
    return out.getvalue()


def test_grade_prints_the_whole_grade():
    result = json.loads(output_of("grade", CASE, "--log", SOUND))
    assert set(result) >= {"percent", "stages", "criteria", "unsafe", "bench", "chair", "versions"}
    assert result["skill"]["skill"] <= 1
    assert result["confidence"]["rated"] == 48
    assert result["percent"] >= 85
    assert set(result["criteria"][0]) >= {"id", "stage", "said", "reference", "credit", "weight", "why"}


def test_reference_prints_every_answer_with_its_working():
    assert all(answer["working"] for answer in json.loads(output_of("reference", CASE))["answers"])


def test_the_schema_of_a_case_file_is_printed():
    assert json.loads(output_of("case_schema"))["title"] == "Document"


def test_film_writes_a_picture_that_says_what_it_is(tmp_path):
    out = tmp_path / "film.png"
    output_of("film", CASE, "--horizontal", "20", "--out", str(out), "--file-in", "MB:15:0.5", "--pixels", "290x220")
    with Image.open(out) as picture:
        assert picture.size == (290, 220)
        assert picture.text["Title"] == "Synthetic teaching image"


def test_warm_compiles_the_renderer_where_every_process_finds_it(settings):
    assert output_of("warm").startswith("The renderer is warm: a film of ")
    compiled = {path.name.split(".")[0] for path in settings.COMPILED_DIR.rglob("*.nbc")}
    assert compiled >= {"kernel", "meeting", "develop", "tiling"}


def test_warm_without_a_case_says_what_it_needs(settings, tmp_path):
    settings.BASE_DIR = tmp_path
    with pytest.raises(CommandError, match="fixtures/cases holds no case"):
        output_of("warm")


@pytest.mark.parametrize(
    ("words", "sentence"),
    [
        (("grade", "gone.json", "--log", SOUND), "gone.json: cannot be read"),
        (("grade", CASE, "--log", CASE), "leaning-abutment.case.json, log_version: None is not the version"),
        (("reference", SOUND), "leaning-abutment.sound.json, schema_version: None is not the version"),
        (("film", CASE, "--out", "x.png", "--horizontal", "60"), "horizontal_deg is 60.0: keep it within -45 to 45"),
        (("film", CASE, "--out", "x.png", "--file-in", "MB:11:0.5"), "there is no size 11"),
        (("film", CASE, "--out", "x.png", "--file-in", "P:15:0.5"), "no canal P: this tooth has MB, ML, D"),
        (("film", CASE, "--out", "no/such/folder/x.png", "--pixels", "64x64"), "cannot be written"),
    ],
)
def test_what_cannot_be_used_is_refused_in_one_sentence(words, sentence):
    with pytest.raises(CommandError, match=sentence) as refusal:
        output_of(*words)
    assert refusal.value.returncode == 2
    assert "\n" not in str(refusal.value)


@pytest.mark.parametrize(
    ("words", "sentence"),
    [
        (("film", CASE, "--out", "x.png", "--file-in", "MB"), "not of the form CANAL:SIZE:SHORT_MM"),
        (
            ("film", CASE, "--out", "x.png", "--pixels", "99999x10"),
            "width_px is 99999: give a whole number from 64 to 4096",
        ),
    ],
)
def test_an_option_that_cannot_be_read_is_refused(words, sentence):
    with pytest.raises(CommandError, match=sentence):
        output_of(*words)


def test_a_refusal_ends_the_program_with_exit_code_2_and_no_traceback(tmp_path):
    outcome = subprocess.run(
        [sys.executable, "manage.py", "grade", "gone.json", "--log", SOUND],
        cwd=ROOT,
        env=os.environ | {"DATABASE_URL": "", "CASEBANK_DATA": str(tmp_path)},
        capture_output=True,
        text=True,
        check=False,
    )
    assert outcome.returncode == 2
    assert (
        outcome.stderr.strip() == "CommandError: gone.json: cannot be read (No such file or directory): check the path"
    )
    assert {path.name for path in tmp_path.iterdir()} <= {"compiled"}  # numba's own folder; nothing of ours


def test_criteria_table_prints_every_set_with_its_hash_beside_the_others():
    printed = output_of("criteria_table", CASE, "--reasons")
    for name in criteria_names():
        assert criteria_named(name).sha256 in printed
    lines = printed.splitlines()
    whole = next(line.split() for line in lines if line.startswith("the whole case"))
    assert whole == ["the", "whole", "case", "high", "high", "complicated", "moderate"]
    assert any(line.startswith("end tangents ") and "35.9°" in line for line in lines)
    assert "* recalled: check your edition." in printed
    assert "rcs-2001, Gagging: Absent (cell from memory): gagging none" in printed
