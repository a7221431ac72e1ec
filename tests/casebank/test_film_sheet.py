"""The sheet of films: sixteen teeth, each in its own place, none empty and no two alike."""

from io import StringIO

import numpy as np
import pytest
from django.core.management import CommandError, call_command
from PIL import Image

from casebank.management.commands.film_sheet import CAPTION_PX, COLUMNS, GAP_PX, NUMBERS

WIDTH, HEIGHT = 96, 72


def sheet_at(path, *words):
    call_command("film_sheet", "--out", str(path), "--pixels", f"{WIDTH}x{HEIGHT}", *words, stdout=StringIO())
    with Image.open(path) as picture:
        return np.asarray(picture), dict(picture.text)


def film(sheet, place):
    top = GAP_PX + place // COLUMNS * (HEIGHT + CAPTION_PX + GAP_PX)
    left = GAP_PX + place % COLUMNS * (WIDTH + GAP_PX)
    return sheet[top : top + HEIGHT, left : left + WIDTH].astype(float)


def test_a_sheet_shows_each_kind_of_tooth_of_each_jaw_once():
    kinds = {(number // 10 in (1, 2), number % 10) for number in NUMBERS}
    assert len(NUMBERS) == len(kinds) == 16
    assert {number // 10 for number in NUMBERS} == {1, 2, 3, 4}


def test_every_film_of_the_sheet_shows_a_tooth_of_its_own_and_the_sheet_says_what_it_is(tmp_path):
    sheet, words = sheet_at(tmp_path / "sheet.png")
    assert sheet.shape == (4 * (HEIGHT + CAPTION_PX + GAP_PX) + GAP_PX, 4 * (WIDTH + GAP_PX) + GAP_PX)
    assert words["Warning"] == "Invented anatomy, not for patient care"
    films = [film(sheet, place) for place in range(16)]
    for one in films:
        middle = one[:, WIDTH // 2 - 8 : WIDTH // 2 + 8]
        assert middle.max() > 110  # tooth, in the middle of its film
        assert one.min() < 40  # and air beside it
    for first in range(16):
        for second in range(first):
            assert np.abs(films[first] - films[second]).mean() > 2


def test_upper_teeth_hang_and_lower_teeth_stand(tmp_path):
    sheet, _ = sheet_at(tmp_path / "sheet.png")
    for place, number in enumerate(NUMBERS):
        one = film(sheet, place)
        edge = HEIGHT // 10
        top, bottom = one[2:edge].mean(), one[-edge:-2].mean()
        # bone lies where the roots are, air beyond the crowns
        assert (top > bottom) == (number // 10 in (1, 2))


@pytest.mark.parametrize(
    ("words", "sentence"),
    [(("--seed", "-1"), "0 or more"), (("--horizontal", "60"), "horizontal_deg is 60.0: keep it within -45 to 45")],
)
def test_what_cannot_be_drawn_is_refused_in_one_sentence(tmp_path, words, sentence):
    with pytest.raises(CommandError, match=sentence) as refusal:
        sheet_at(tmp_path / "sheet.png", *words)
    assert refusal.value.returncode == 2
