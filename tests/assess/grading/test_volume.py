"""A limited volume: whether its reason justified it, by what had been seen and what the case holds."""

from dataclasses import replace

import pytest

from assess.grading.volume import angles_seen, justification, unjustified_films
from assess.log import FilmTaken, Stage, State, VolumeAsked, fold
from casebank.anatomy import ExternalResorption
from tests.casebank.casefile.test_visible_keys import case_of
from tests.factories import leaning_abutment
from tests.teeth import lower_molar

CASE = "leaning-abutment"


@pytest.fixture(scope="module")
def document():
    _, document = leaning_abutment()
    return document


def film(seq, angle):
    return FilmTaken(seq=seq, case=CASE, stage=Stage.LOOK, horizontal_deg=angle, reason="part the mesial canals")


def asked(seq, reason):
    return VolumeAsked(seq=seq, case=CASE, reason=reason, hoped="a further canal")


def judged(document, *events):
    return justification(document, fold(events, case=CASE))


def test_without_a_request_there_is_nothing_to_judge(document):
    assert justification(document, State()) is None
    assert unjustified_films(document, State()) == 0


def test_films_from_two_angles_come_first(document):
    # the case gives one straight film, and its mesial root holds two canals
    early = judged(document, asked(1, "missed-canal-sought"), film(2, 20.0))
    assert not early.justified
    assert early.why == "Films from 2 angles come first; you had looked from 1."
    late = judged(document, film(1, 20.0), asked(2, "missed-canal-sought"))
    assert late.justified
    assert late.because.startswith("Number and course of canals")
    assert late.hoped == "a further canal"


@pytest.mark.parametrize(("angle", "seen"), [(0.0, 1), (4.9, 1), (5.0, 2), (-20.0, 2)])
def test_the_same_view_again_is_no_further_angle(document, angle, seen):
    assert angles_seen(document, fold([film(1, angle), asked(2, "decay")], case=CASE)) == seen


def test_a_reason_nobody_accepts_stays_unjustified_whatever_was_seen(document):
    one = judged(document, film(1, 20.0), film(2, -20.0), asked(3, "every-tooth-first"))
    assert (one.justified, one.why) == (False, "This reason does not justify a volume.")


@pytest.mark.parametrize("reason", ["resorption-extent", "before-surgery", "earlier-treatment-failed", "injury"])
def test_a_question_the_case_does_not_have_justifies_nothing(document, reason):
    one = judged(document, film(1, 20.0), asked(2, reason))
    assert (one.justified, one.why) == (False, "Nothing in this case raises this question.")


def test_an_author_may_say_that_a_reason_holds(document):
    told = document.model_copy(update={"volume_reasons": ("before-surgery",)})
    assert judged(told, asked(1, "before-surgery")).justified


def test_a_resorption_of_the_root_justifies_at_once():
    base = lower_molar()
    bitten = replace(base.tooth.roots[0], resorptions=(ExternalResorption(6.0, 90.0, 0.4, 1.5, 1.5),))
    tooth = replace(base.tooth, roots=(bitten, *base.tooth.roots[1:]))
    assert judged(case_of(replace(base, tooth=tooth)), asked(1, "resorption-extent")).justified


def test_only_a_volume_that_nothing_justified_costs_its_dose(document):
    needless = fold([asked(1, "decay")], case=CASE)
    justified = fold([film(1, 20.0), asked(2, "missed-canal-sought")], case=CASE)
    # 84 over 5 microsievert is 16.8
    assert (unjustified_films(document, needless), unjustified_films(document, justified)) == (17, 0)
