"""A film in words: what the picture shows, kept beside it, and nothing that would answer a task."""

import re
from html import unescape

import pytest

from casebank import films
from tests.assess.pages.reading import words_of

pytestmark = pytest.mark.django_db


@pytest.fixture
def page(reader, address):
    return reader.get(address("film-words", 1))


def test_a_film_is_told_in_words_with_its_way_back(page, address):
    said = words_of(page)
    assert page.status_code == 200
    assert "Film 1, tube straight, in words" in said
    assert "Only what this picture shows" in said
    assert address("look") + "?film=1#film" in page.content.decode()


def test_the_words_hold_no_number_that_a_task_asks_for(page):
    listed = " ".join(re.findall(r"<li>(.*?)</li>", page.content.decode()))
    assert listed
    assert not re.search(r"\d", unescape(listed))


def test_a_film_that_was_not_taken_has_no_words(reader, address):
    assert reader.get(address("film-words", 2)).status_code == 404


def test_words_are_worked_out_once(reader, address, monkeypatch, page):
    monkeypatch.setattr(films, "describe", lambda *_args, **_options: pytest.fail("worked out again"))
    assert words_of(reader.get(address("film-words", 1))) == words_of(page)
