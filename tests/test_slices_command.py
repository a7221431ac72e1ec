"""`manage.py slices` as an author runs it: a picture and its dose, or one sentence and exit code 2."""

import io
from pathlib import Path

import pytest
from django.core.management import CommandError, call_command
from PIL import Image

CASE = str(Path(__file__).parent.parent / "fixtures/cases/leaning-abutment.case.json")


def test_a_section_is_written_with_its_place_and_its_dose_beside_a_films(tmp_path):
    out, said = tmp_path / "slice.png", io.StringIO()
    call_command("slices", CASE, "--plane", "sagittal", "--at", "1", "--voxel", "0.2", "--out", str(out), stdout=said)
    with Image.open(out) as picture:
        assert picture.size == (200, 200)  # 40 mm in voxels of 0.2
        assert "along the arch, 1.0 mm lingual of the tooth's middle" in picture.text["Section"]
    assert "Sagittal section" in said.getvalue()
    assert "84 microsievert" in said.getvalue()
    assert "17 times one periapical film" in said.getvalue()


@pytest.mark.parametrize(
    ("words", "sentence"),
    [
        (("--thickness", "9"), "out of range: give 0.1 to 3 mm"),
        (("--at", "40"), "lies outside the volume"),
        (("--voxel", "nan"), "out of range: give 0.1 to 0.2 mm"),
    ],
)
def test_what_cannot_be_cut_is_refused_in_one_sentence(words, sentence, tmp_path):
    with pytest.raises(CommandError, match=sentence) as refusal:
        call_command("slices", CASE, *words, "--out", str(tmp_path / "x.png"))
    assert refusal.value.returncode == 2
    assert not (tmp_path / "x.png").exists()
