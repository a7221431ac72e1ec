"""The tooth as it was left, on the Compare page: pictures and words, and neither before the case is settled."""

import re

import pytest

from assess.actions import commit_stage, self_grade
from assess.log import Stage
from casebank import films
from casebank.radiograph import Receptor
from tests.assess.pages.reading import PERCENTS, words_of


@pytest.fixture(autouse=True)
def quick(monkeypatch, tmp_path, settings):
    """Small films in a folder of their own."""
    settings.DATA_DIR = tmp_path
    render = films.take
    small = Receptor.of_pixels(96, 72)
    monkeypatch.setattr(films, "take", lambda anatomy, view, receptor, rods: render(anatomy, view, small, rods))


def test_compare_shows_the_films_and_says_canal_by_canal_what_they_show(settled, reader, address):
    page = reader.get(address("compare"))
    said, source = words_of(page), page.content.decode()
    assert "The tooth as you left it" in said
    assert "The tooth is closed over the orifices." in said
    for number in (1, 2, 3):
        assert f'src="{address("left-picture", number)}"' in source
    rows = said[said.index("What these films show, canal by canal") :]
    assert rows.count("On the straight film the filling ends") == 3
    assert rows.count("No gap beside it.") == 3
    assert "19.3 mm: the tip shows" in rows


def test_each_film_has_words_in_its_place(settled, reader, address):
    source = reader.get(address("compare")).content.decode()
    pictures = re.findall(r'<img src="[^"]*/left/\d\.png"[^>]*alt="([^"]*)"', source)
    assert len(pictures) == 3
    assert all("Synthetic film of the lower left second molar" in words for words in pictures)
    assert len(set(pictures)) == 2  # the film with files is taken from mesial, as one of the others


def test_the_films_differ_from_each_other_and_from_those_before_treatment(settled, reader, address):
    pictures = [reader.get(address("left-picture", number)) for number in (1, 2, 3)]
    before = reader.get(address("film-picture", 1))
    assert {picture["Content-Type"] for picture in pictures} == {"image/png"}
    assert all(picture["Cache-Control"].startswith("private") for picture in pictures)
    assert len({picture.content for picture in (*pictures, before)}) == 4
    assert reader.get(address("left-picture", 4)).status_code == 404
    assert reader.get(address("left-picture", 0)).status_code == 404


@pytest.mark.parametrize("stage", [Stage.LOOK, Stage.SHAPE, Stage.FILL])
def test_before_it_is_settled_there_is_no_such_film(reader, address, work, stage):
    work(stage)
    for number in (1, 3, 9):
        refused = reader.get(address("left-picture", number))
        assert refused.status_code == 409
        assert "once the case is committed and you have graded yourself" in words_of(refused)


def test_a_tooth_in_which_nothing_was_done_is_shown_as_it_came(reader, attempt, student, noon, address):
    for stage in Stage:
        if stage is not Stage.COMPARE:
            commit_stage(attempt=attempt, stage=stage, by=student, now=noon)
    self_grade(attempt=attempt, percents=PERCENTS, by=student, now=noon)
    said = words_of(reader.get(address("compare")))
    assert "Nothing was done in this tooth; the films show it as it came." in said
    assert said.count("Not shaped and not filled.") == 3
    assert reader.get(address("left-picture", 1)).content == reader.get(address("film-picture", 1)).content
    assert reader.get(address("left-picture", 3)).status_code == 404
