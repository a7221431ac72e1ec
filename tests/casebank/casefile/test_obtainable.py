"""What can be seen in any view to be had: which further film would show a key, and which key none would."""

from dataclasses import replace

import pytest

from casebank.casefile.dry_run import dry_run
from casebank.casefile.film_figures import bend_figure, canal_figures, figure_of
from casebank.casefile.obtainable import (
    is_never_shown,
    never_seen,
    view_that_would_show,
    views_to_have,
    warm_figures,
)
from casebank.casefile.visible_keys import READ_ON_FILMS, shown_key
from casebank.radiograph import View
from tests.casebank.casefile.test_visible_keys import SHIFTED, STRAIGHT, case_of
from tests.casebank.radiograph.test_visibility import with_canals, with_lesion

PLAIN, HAIR = with_canals(0.4, 0.5), with_canals(0.03, 0.03)


def test_a_shift_of_the_tube_would_show_two_canals_that_lie_in_line():
    assert view_that_would_show(case_of(PLAIN), "canal-count", STRAIGHT) == View(20)


def test_no_film_would_show_a_canal_too_fine_for_any():
    assert view_that_would_show(case_of(HAIR), "canal-count", SHIFTED) is None
    assert is_never_shown(case_of(HAIR), "canal-count")
    assert not is_never_shown(case_of(PLAIN), "canal-count")


def test_a_case_has_its_own_views_and_every_one_the_tube_is_offered_for_once():
    views = views_to_have(case_of(PLAIN))
    assert set(views) == {View(), View(20), View(-20), View(vertical_deg=15), View(vertical_deg=-15)}
    assert len(views) == 5


def test_a_bend_that_no_film_shows_keeps_a_case_from_being_published():
    (sentence,) = never_seen(case_of(HAIR))
    assert sentence.startswith("anatomy.tooth.canals: no film that can be taken shows the most curved canal")
    assert "widen that canal" in sentence
    written = case_of(HAIR).model_dump_json().encode()
    assert any(one.endswith(sentence) for one in dry_run(written, name="hair").obstacles)
    assert not any(one.endswith(sentence) for one in dry_run(written, name="hair", on_films=False).obstacles)


def test_a_lesion_that_no_film_shows_keeps_a_case_from_being_published():
    sentences = tuple(never_seen(case_of(replace(PLAIN, lesions=with_lesion(0.2).lesions))))
    assert [sentence.partition(":")[0] for sentence in sentences] == ["anatomy.lesions[0]"]
    assert "make it larger" in sentences[0]


@pytest.mark.parametrize("size_mm", [4.0, 6.0])
def test_a_lesion_of_usual_size_is_no_obstacle(size_mm):
    assert tuple(never_seen(case_of(replace(PLAIN, lesions=with_lesion(size_mm).lesions)))) == ()


def test_what_was_worked_out_once_is_kept_for_every_grade():
    document = case_of(PLAIN)
    warm_figures(document)
    kept = (canal_figures, bend_figure, figure_of)
    before = [figures.cache_info().misses for figures in kept]
    for task in READ_ON_FILMS:
        shown_key(document, task, SHIFTED)
    assert [figures.cache_info().misses for figures in kept] == before
