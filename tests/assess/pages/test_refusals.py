"""What a page refuses: the right status, in plain words, and nothing stored."""

import pytest
from django.urls import reverse

from tests.assess.pages.reading import ACTS, PERCENTS, STAGES, words_of


def test_a_stage_typed_by_hand_waits_for_the_one_before(reader, address):
    for stage, sentence in (("weigh", "Weigh opens when Look is committed."), ("compare", "Compare opens when Look")):
        response = reader.get(address(stage))
        assert response.status_code == 409
        assert sentence in words_of(response)
    assert reader.get(address("commit", "shape")).status_code == 409
    assert reader.post(address("commit", "shape")).status_code == 409
    assert reader.post(address("self-grade"), PERCENTS).status_code == 409


@pytest.mark.parametrize("act", ACTS)
def test_an_act_is_not_a_page(reader, address, act):
    response = reader.get(address(act))
    assert response.status_code == 405
    assert response["Allow"] == "POST"
    assert "This address works another way" in words_of(response)


@pytest.mark.parametrize("name", ["look", "compare", "home", "cases", "landing", "sign-out"])
def test_other_methods_are_refused_in_words(reader, address, name):
    own = name in STAGES
    url = address(name) if own else reverse(name)
    response = reader.put(url)
    assert response.status_code == 405
    assert "works another way" in words_of(response)


def test_an_oversize_body_is_refused_in_words_and_nothing_is_stored(reader, address, attempt):
    response = reader.post(address("film"), {"tube": "mesial-20", "reason": "x" * 1_100_000})
    assert response.status_code == 413
    assert "larger than this site takes" in words_of(response)
    assert attempt.events.count() == 0


@pytest.mark.django_db
def test_an_address_that_leads_nowhere_says_what_to_do(reader):
    response = reader.get("/nowhere/")
    assert response.status_code == 404
    assert "There is no such page" in words_of(response)


def test_a_commit_of_compare_or_of_no_stage_is_not_found(reader, address):
    assert {reader.get(address("commit", name)).status_code for name in ("compare", "lunch")} == {404}


def test_what_is_broken_says_what_is_safe(reader, address, monkeypatch):
    monkeypatch.setattr("assess.views.stages.questions", lambda *_: 1 / 0)
    reader.raise_request_exception = False
    response = reader.get(address("look"))
    assert response.status_code == 500
    assert "What you had saved before is safe" in words_of(response)
