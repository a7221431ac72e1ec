"""An outline together with a line and a depth: geometry worked by hand, and nothing of it graded."""

from dataclasses import replace

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from casebank.anatomy import Placement, along_bite, along_crown, along_root
from casebank.anatomy.access import GOUGED
from casebank.anatomy.vary import vary
from casebank.casefile.drilled import drilled
from casebank.casefile.opened import judged, usual_plan_of
from tests.casebank.casefile.bank import case


def with_line(slug, **said):
    document = case(slug)
    return drilled(document, usual_plan_of(document).outline, **{"line": None, "floor_mm": None} | said)


def test_without_line_and_depth_it_is_the_usual_opening():
    document = case("map-engraver")
    cut = with_line("map-engraver")
    assert cut.plan == usual_plan_of(document)
    assert cut.verdict == judged(document, cut.plan)
    assert (cut.leant_deg, cut.apart_mm, cut.toward) == (0.0, pytest.approx(0, abs=1e-9), "")


def test_along_the_roots_a_bur_stands_off_the_crowns_line_by_what_the_crown_leans():
    # the bridge leans 24° distally and 4° lingually off the roots: the cosines multiply; the usual line is the crown's
    cut = with_line("leaning-abutment", line="roots")
    lean = np.arccos(np.cos(np.radians(24)) * np.cos(np.radians(4)))
    assert cut.apart_deg == pytest.approx(np.degrees(lean), abs=1e-6)
    assert cut.apart_mm == pytest.approx(cut.verdict.axis.depth_mm * np.tan(lean), abs=1e-6)
    assert cut.toward == "distal"
    assert cut.verdict.axis.bur_deg == pytest.approx(0, abs=1e-6)


def test_square_to_the_bite_a_bur_leans_off_the_roots_by_the_tilt():
    # a turn about the tooth's own axis changes no angle to that axis
    cut = with_line("leaning-abutment", line="bite")
    assert case("leaning-abutment").anatomy.placement.tilt_deg == 26
    assert cut.verdict.axis.bur_deg == pytest.approx(26, abs=1e-6)


@settings(max_examples=30)
@given(tilt=st.floats(-25, 25), turn=st.floats(-60, 60))
def test_a_bur_square_to_the_bite_is_upright_in_the_jaw_wherever_the_tooth_stands(tilt, turn):
    tooth, placed = vary(36, 3).tooth, Placement(tilt_deg=tilt, rotation_deg=turn)
    upright = placed.to_jaw(along_bite(tooth, placed).out_of(tooth)[None])[0]
    assert upright == pytest.approx([0, 0, 1], abs=1e-6)


def test_in_an_upright_tooth_crown_roots_and_bite_are_one_line():
    tooth = vary(36, 3).tooth
    upright = replace(tooth, crown=replace(tooth.crown, off_root_mesiodistal_deg=0, off_root_buccolingual_deg=0))
    assert along_bite(upright, Placement()) == along_root(upright) == along_crown()


def test_along_the_roots_the_depth_is_the_level_that_was_read():
    # with the bur along the roots, one more millimetre of level is one more millimetre of depth
    one, other = (with_line("leaning-abutment", line="roots", floor_mm=mm).plan.depth_mm for mm in (8.0, 9.0))
    assert other - one == pytest.approx(1.0, abs=1e-9)


def test_along_a_leaning_crown_a_level_lies_further_by_the_cosine():
    # a step down the roots' axis is longer, seen along the bur, by nothing but the cosine between them
    one, other = (with_line("leaning-abutment", line="crown", floor_mm=mm).plan.depth_mm for mm in (8.0, 9.0))
    assert other - one == pytest.approx(np.cos(np.radians(24)) * np.cos(np.radians(4)), abs=1e-6)


def test_far_past_the_floor_it_gouges_and_the_usual_one_still_does_not():
    assert with_line("leaning-abutment", line="crown", floor_mm=10.5).verdict.in_short == GOUGED
    assert judged(case("leaning-abutment"), usual_plan_of(case("leaning-abutment"))).in_short == "right"


def test_with_the_bridge_off_no_bridge_is_cut():
    assert with_line("leaning-abutment", line="crown", removed=True).verdict.volumes_mm3["prosthesis"] == 0
    assert with_line("leaning-abutment", line="crown").verdict.volumes_mm3["prosthesis"] > 5


def test_a_front_tooths_bur_is_leant_to_come_in_at_all_and_it_is_said():
    # the usual bur of the incisor leans 26° in the crown's frame, the roots' own line -6°: 32° between them
    cut = with_line("grey-incisor", line="roots")
    assert cut.leant_deg == pytest.approx(32, abs=0.01)
    assert cut.apart_deg == pytest.approx(0, abs=0.01)


@pytest.mark.parametrize(
    ("said", "sentence"),
    [
        ({"line": "floor"}, "there is no line floor: use one of crown, roots, bite"),
        ({"floor_mm": 40.0}, "40 mm is no depth at which a bur stops in this crown"),
        ({"floor_mm": -5.0}, "-5 mm is no depth"),
    ],
)
def test_what_cannot_be_drilled_is_refused(said, sentence):
    with pytest.raises(ValueError, match=sentence):
        with_line("leaning-abutment", **said)
