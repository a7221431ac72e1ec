"""Nothing of the reference reaches a page before the case is settled."""

import re
from html import unescape

import pytest
from django.urls import reverse

from assess.log import Stage
from casebank.casefile import derive
from tests.assess.pages.reading import STAGES, get_all, words_of


def secrets_of(attempt):
    """Sentences and figures that answer a task: the author's reasons and the working of every reference."""
    document = attempt.edition.document
    reference = derive(document)
    choices = document.choices.values()
    return {
        *(choice.because for choice in choices),
        *(reason for choice in choices for reason in choice.unsafe.values()),
        *(step for answer in reference.answers.values() for step in answer.working if step not in asked_of(reference)),
    }


def asked_of(reference):
    """Sentences of the rubric that pages show anyway."""
    return {criterion.ask for criterion in reference.rubric.criteria}


@pytest.mark.parametrize("stage", STAGES)
def test_no_page_gives_a_reference_away_before_the_case_is_settled(reader, attempt, work, stage):
    if stage != "look":
        work(Stage(STAGES[STAGES.index(stage) - 1]))
    secrets = secrets_of(attempt)
    others = [(name, reader.get(reverse(name))) for name in ("home", "cases")]
    others.append(("case", reader.get(reverse("case", args=["leaning-abutment"]))))
    for name, response in [*get_all(reader, attempt), *others]:
        said = unescape(response.content.decode(errors="ignore")) + str(dict(response.headers))
        assert [secret for secret in secrets if secret in said] == [], name


def test_the_same_sentences_are_shown_once_it_is_settled(settled, reader, attempt, address):
    said = unescape(reader.get(address("compare")).content.decode())
    missing = [secret for secret in secrets_of(attempt) if secret not in said]
    unsafe = [reason for choice in attempt.edition.document.choices.values() for reason in choice.unsafe.values()]
    assert set(missing) <= set(unsafe), "only unsafe options that were not chosen stay untold"


def test_a_finding_is_told_only_when_it_was_asked_for(reader, address, attempt):
    result = attempt.edition.document.finding("c").result
    assert result not in words_of(reader.get(address("look")))
    came_back = reader.post(address("ask"), {"finding": "c"})
    assert came_back.status_code == 303
    assert came_back.url.endswith("#finding-c")
    assert result in words_of(reader.get(address("look")))


def test_before_shape_a_canal_of_this_tooth_cannot_be_told_from_any_other(reader, address):
    answers = [
        reader.post(address("answer"), {"task": f"working-length.{canal}", "value": 20, "confidence": "sure"})
        for canal in ("MB", "DB", "nonsense")
    ]
    assert {response.status_code for response in answers} == {409}
    assert len({words_of(response) for response in answers}) == 1


def test_the_canal_menu_of_look_is_that_of_any_lower_molar(reader, address):
    page = reader.get(address("look")).content.decode()
    assert re.findall(r'name="of" value="([^"]+)"', page) == ["MB", "MM", "ML", "DB", "DL", "D", "M", "none"]


def test_only_films_that_were_given_or_taken_are_shown_and_privately(reader, address):
    first = reader.get(address("film-picture", 1))
    assert first.content.startswith(b"\x89PNG")
    assert first["Cache-Control"].startswith("private")
    assert reader.get(address("film-picture", 1), headers={"If-None-Match": first["ETag"]}).status_code == 304
    assert reader.get(address("film-picture", 2)).status_code == 404
    assert reader.get(address("film-picture", 0)).status_code == 404


def test_a_canal_is_drawn_only_after_the_case(reader, address, work):
    work(Stage.SHAPE)
    assert reader.get(address("canal-chart", "MB")).status_code == 409
    assert reader.get(address("canal-chart", "XX")).status_code == 409
