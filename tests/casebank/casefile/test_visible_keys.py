"""Which keys a student's films could show: one behind the other, a tip off the film, a bend that cannot be followed."""

from dataclasses import replace

import pytest

from casebank.casefile import read_document
from casebank.casefile.visible_keys import Shown, canals_shown, judged_as_shown, shown_facts, shown_key, shown_keys
from casebank.radiograph import View
from tests.casebank.radiograph.test_visibility import with_canals
from tests.factories import LEANING_ABUTMENT

STRAIGHT, SHIFTED = {1: View()}, {1: View(), 2: View(20)}


def case_of(anatomy):
    """The leaning abutment with a tooth of ours in it."""
    return read_document(LEANING_ABUTMENT).model_copy(update={"anatomy": anatomy})


def test_two_canals_in_line_cannot_be_keyed_as_two_on_one_film():
    document = case_of(with_canals(0.4, 0.5))
    one, two = shown_keys(document, STRAIGHT)["canal-count"], shown_keys(document, SHIFTED)["canal-count"]
    assert not one.seen
    assert one.why == "These films show 2 of 3 canals apart."
    assert two.films == (1, 2)
    assert canals_shown(document.anatomy, SHIFTED) == ("MB", "ML", "D")


def test_a_canal_too_fine_for_any_film_is_not_keyed():
    hair = with_canals(0.03, 0.03, ("ML",))
    assert not shown_keys(case_of(hair), SHIFTED)["canal-count"].seen
    assert "ML" not in canals_shown(hair, SHIFTED)


def test_a_root_end_is_keyed_only_on_films_that_hold_it():
    document = case_of(with_canals(0.4, 0.5))
    views = {1: View(), 2: View(aim_occlusal_mm=14)}
    assert shown_keys(document, views)["apex-mark"].films == (1,)
    off = shown_keys(document, {1: views[2]})["apex-mark"]
    assert not off.seen
    assert off.why == "It lies outside the picture."


def test_the_bend_is_keyed_where_its_canal_can_be_followed():
    plain, hair = with_canals(0.4, 0.5), with_canals(0.03, 0.03)
    assert shown_keys(case_of(plain), STRAIGHT)["curvature"].films == (1,)
    assert not shown_keys(case_of(hair), STRAIGHT)["curvature"].seen


@pytest.mark.parametrize("fact", ["pulp_stones", "resorption", "canal_shape", "canal_division", "root_number"])
def test_what_is_as_usual_is_no_question_of_sight(fact):
    assert fact not in shown_facts(with_canals(0.4, 0.5), STRAIGHT)


def test_a_factor_whose_level_rests_on_a_bend_that_no_film_shows_cannot_be_told():
    # the upright crown leaves the bend of the mesial canals as the only thing above the lowest level
    hair, plain = with_canals(0.03, 0.03), with_canals(0.4, 0.5)
    told = {}
    for name, anatomy in (("hair", hair), ("plain", plain)):
        crown = replace(anatomy.tooth.crown, off_root_mesiodistal_deg=0.0, off_root_buccolingual_deg=0.0)
        upright = replace(anatomy, tooth=replace(anatomy.tooth, crown=crown))
        told[name] = shown_keys(case_of(upright), STRAIGHT)["difficulty-levels.canal-form"]
    assert told["plain"].films == (1,)
    assert not told["hair"].seen
    assert told["hair"].why == "None of these films shows it, so they cannot tell."


def test_a_factor_that_does_not_rest_on_films_is_not_listed():
    keys = shown_keys(case_of(with_canals(0.4, 0.5)), STRAIGHT)
    assert "difficulty-levels.health" not in keys
    assert "working-length.MB" not in keys


def test_films_are_counted_out_in_words():
    views = {1: View(), 2: View(20), 3: View(-20)}
    assert shown_keys(case_of(with_canals(0.4, 0.5)), views)["apex-mark"].why == "On films 1, 2 and 3 it stands out."


def test_what_is_shown_is_named_with_the_film_to_look_at():
    document = case_of(with_canals(0.4, 0.5))
    count, bend, tip = (shown_key(document, task, SHIFTED) for task in ("canal-count", "curvature", "apex-mark"))
    assert {"MB", "ML", "D"} <= set(count.where.replace(",", " ").replace(";", " ").split())
    assert "film 2" in count.where
    assert bend.where.startswith("canal M")
    assert "of the middle of film" in tip.where


@pytest.mark.parametrize(("figure", "doubtful"), [(4.4, False), (4.5, True), (5.0, True), (5.5, True), (5.6, False)])
def test_a_figure_within_half_of_the_threshold_is_doubtful(figure, doubtful):
    # about 5 (Rose 1948), and half on either side: a teaching choice
    assert Shown((), "", figure=figure).doubtful is doubtful


def test_a_level_is_judged_without_the_bend_that_no_film_shows():
    hair, plain = with_canals(0.03, 0.03), with_canals(0.4, 0.5)
    crown = replace(hair.tooth.crown, off_root_mesiodistal_deg=0.0, off_root_buccolingual_deg=0.0)
    upright = replace(hair, tooth=replace(hair.tooth, crown=crown))
    assert judged_as_shown(case_of(upright), STRAIGHT).factor("canal-form").level == 1
    assert judged_as_shown(case_of(plain), STRAIGHT) is None
