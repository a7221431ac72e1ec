""" "I cannot tell from these films": offered beside each reading of a film, and beside nothing else."""

import re

import pytest

from assess.forms.acts import TUBES
from assess.log import Stage
from assess.presenting.keying import key_of
from casebank.casefile.obtainable import OBTAINABLE
from casebank.casefile.visible_keys import READ_ON_FILMS
from tests.assess.pages.reading import words_of
from tests.casebank.casefile.test_visible_keys import case_of
from tests.casebank.radiograph.test_visibility import with_canals

SENT = {"cannot_tell": "yes", "confidence": "sure"}


def asked(page, task):
    """The form of one question."""
    text = page.content.decode()
    start = text.index(f'id="q-{task}"')
    return text[start : text.index("</form>", start)]


def test_it_is_offered_where_films_are_read_and_chosen_for_nobody(reader, address):
    page = reader.get(address("look"))
    boxes = re.findall(r'<input type="checkbox" name="cannot_tell"[^>]*>', page.content.decode())
    assert len(boxes) == len(READ_ON_FILMS)
    assert not any("checked" in box for box in boxes)
    assert "cannot_tell" not in asked(page, "pulpal-diagnosis")


def test_a_browser_without_scripts_lets_a_reading_be_left_open(reader, address):
    page = reader.get(address("look"))
    for task in READ_ON_FILMS:
        needed = re.findall(r"<input[^>]* required[^>]*>", asked(page, task))
        assert all('name="confidence"' in tag for tag in needed), task


@pytest.mark.parametrize("task", list(READ_ON_FILMS))
def test_it_is_stored_as_an_answer_of_its_own_and_stands_there_again(reader, address, attempt, task):
    assert reader.post(address("answer"), SENT | {"task": task}).status_code == 303
    answer = attempt.state().answers[task]
    assert (answer.cannot_tell, answer.film, answer.confidence) == (True, None, "sure")
    assert re.search(r'name="cannot_tell" value="yes" checked', asked(reader.get(address("look")), task))


def test_films_and_canals_that_were_picked_before_do_not_stand_in_its_way(reader, address, attempt):
    sent = SENT | {"task": "curvature", "of": "MB", "film": "1", "points_px": "1,1;2,2;3,3"}
    assert reader.post(address("answer"), sent).status_code == 303
    answer = attempt.state().answers["curvature"]
    assert (answer.value, answer.of, answer.points_px) == (None, None, ())


@pytest.mark.parametrize(
    "reading",
    [
        {"task": "canal-count", "value": "2"},
        {"task": "curvature", "value": "12", "of": "MB", "film": "1"},
        {"task": "apex-mark", "film": "1", "x1": "10", "y1": "10"},
    ],
)
def test_a_reading_beside_it_is_refused_in_words(reader, address, attempt, reading):
    refused = reader.post(address("answer"), SENT | reading)
    assert refused.status_code == 400
    assert "take out the one you do not mean" in words_of(refused)
    assert attempt.events.count() == 0


def test_a_reading_given_later_takes_its_place(reader, address, attempt):
    reader.post(address("answer"), SENT | {"task": "canal-count"})
    reader.post(address("answer"), {"task": "canal-count", "value": "3"})
    answer = attempt.state().answers["canal-count"]
    assert (answer.value, answer.cannot_tell) == (3.0, False)


def test_a_committed_stage_says_it_in_words(reader, address):
    reader.post(address("answer"), SENT | {"task": "apex-mark"})
    reader.post(address("commit", Stage.LOOK))
    assert "I cannot tell from these films" in words_of(reader.get(address("look")))


def test_what_takes_no_film_cannot_be_left_open(reader, address, attempt):
    reader.post(address("commit", Stage.LOOK))
    reader.post(address("commit", Stage.WEIGH))
    refused = reader.post(address("answer"), SENT | {"task": "chamber-depth"})
    assert refused.status_code == 400
    assert "chamber-depth" not in attempt.state().answers


def test_the_views_that_count_as_to_be_had_are_those_the_tube_is_offered_for():
    offered = {(0.0, 0.0), *TUBES.values()}
    assert {(view.horizontal_deg, view.vertical_deg) for view in OBTAINABLE} == offered


@pytest.mark.parametrize(("canals_mm", "is_open"), [((0.03, 0.03), True), ((0.4, 0.5), False)])
def test_whoever_teaches_reads_in_the_key_that_no_film_shows_the_count(canals_mm, is_open):
    tasks = [task for stage in key_of(case_of(with_canals(*canals_mm))).stages for task in stage.tasks]
    assert {task.anchor for task in tasks if task.counts_as_open} == ({"k-canal-count"} if is_open else set())
