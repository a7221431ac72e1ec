"""Real teeth: what columns hold, and that an opening too small, one right and one gouging are told apart in each."""

from dataclasses import replace
from functools import cache
from pathlib import Path

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from casebank.anatomy import Anatomy
from casebank.anatomy.access import GOUGED, RIGHT, TOO_SMALL, AccessVerdict, judge_access
from casebank.anatomy.access_block import Tissue
from casebank.anatomy.access_findings import AccessLevel
from casebank.anatomy.access_plan import AccessPlan, BurAxis, along_crown, along_root
from casebank.anatomy.occlusal import map_frame
from casebank.anatomy.vary import vary
from casebank.casefile import read_document
from casebank.casefile.access_columns import prepare, prepared_for
from casebank.casefile.access_usual import usual_access

CASES = {path.name.split(".")[0]: path for path in sorted(Path("fixtures/cases").glob("*.case.json"))}
HANDBOOK = {"incisor 11": 11, "lower incisor 41": 41, "premolar 14": 14, "upper molar 26": 26, "lower molar 36": 36}
NAMES = (*CASES, *HANDBOOK)


@cache
def anatomy(name: str) -> Anatomy:
    return read_document(CASES[name]).anatomy if name in CASES else vary(HANDBOOK[name], 7)


def judged(name: str, plan: AccessPlan) -> AccessVerdict:
    return judge_access(prepared_for(anatomy(name), plan), plan)


def scaled(plan: AccessPlan, by: float) -> AccessPlan:
    points = np.array(plan.outline)
    middle = points.mean(axis=0)
    return replace(plan, outline=tuple(map(tuple, (middle + by * (points - middle)).tolist())))


def gouging(name: str) -> AccessPlan:
    """In a front tooth a bur held far to the tongue's side and pushed on; in others one that goes on past the floor."""
    plan = usual_access(anatomy(name))
    if map_frame(anatomy(name).tooth).seen_from != "above":
        return replace(plan, axis=BurAxis(0.0, 45.0), depth_mm=11.0)
    return replace(plan, depth_mm=14.0, flare_deg=0.0)


@pytest.mark.parametrize("name", NAMES)
def test_too_small_right_and_gouging_are_three_verdicts(name):
    right = usual_access(anatomy(name))
    verdicts = [judged(name, plan) for plan in (scaled(right, 0.3), right, gouging(name))]
    assert [verdict.in_short for verdict in verdicts] == [TOO_SMALL, RIGHT, GOUGED]


@pytest.mark.parametrize("name", NAMES)
def test_the_usual_opening_opens_the_chamber_reaches_every_canal_and_endangers_nothing(name):
    verdict = judged(name, usual_access(anatomy(name)))
    assert verdict.opened
    assert all(reach.lean_deg is not None for reach in verdict.canals)
    assert verdict.level < AccessLevel.UNSAFE
    assert verdict.volumes_mm3["beyond"] <= 0.3 * verdict.volumes_mm3["need"]


@pytest.mark.parametrize("name", NAMES)
def test_a_gouge_names_what_it_endangers_with_place_and_size(name):
    verdict = judged(name, gouging(name))
    worst = [
        f
        for f in verdict.findings
        if f.level == AccessLevel.UNSAFE and f.kind in {"perforation", "root wall", "furcation"}
    ]
    assert worst
    assert all(finding.size is not None and finding.at_mm is not None and finding.subject for finding in worst)


def test_going_on_past_the_floor_of_a_molar_comes_out_in_the_furcation():
    verdict = judged("lower molar 36", gouging("lower molar 36"))
    assert any(f.kind == "perforation" and f.subject == "furcation" for f in verdict.findings)
    assert verdict.walls.furcation.thick_mm == pytest.approx(0, abs=0.1)


@pytest.mark.parametrize("name", ["lower molar 36", "upper molar 26", "leaning-abutment"])
def test_the_floor_over_the_furcation_is_as_thick_as_the_anatomy_says(name):
    # along the roots: from the chamber's floor to the furcation, which the drawing rounds off by up to a millimetre
    tooth = anatomy(name).tooth
    floor_mm = prepare(anatomy(name), along_root(tooth)).natural_fork_mm
    assert floor_mm == pytest.approx(tooth.furcation_mm - tooth.chamber.floor_mm, abs=1.3)


@pytest.mark.parametrize("name", ["bread-biter", "map-engraver", "premolar 14", "lower molar 36"])
def test_columns_hold_the_chamber_where_the_anatomy_has_it(name):
    # along the roots: the roof over the chamber's middle, which no horn reaches, and the floor, as deep as stated
    tooth = anatomy(name).tooth
    prepared = prepare(anatomy(name), along_root(tooth))
    middle = np.array([canal.orifice_mm for canal in tooth.canals]).mean(axis=0)
    near = np.linalg.norm(prepared.block.middles[prepared.over] - middle, axis=1).argmin()
    column = np.flatnonzero(prepared.over)[near]
    heights = prepared.block.heights_mm[column][prepared.chamber[column]]
    roof, floor = tooth.crown.height_mm - heights.max(), tooth.crown.height_mm - heights.min()
    assert (roof, floor) == pytest.approx((tooth.chamber.roof_mm, tooth.chamber.floor_mm), abs=0.25)


def test_columns_measure_the_crown():
    crown = anatomy("lower molar 36").tooth.crown
    block = prepare(anatomy("lower molar 36"), along_crown()).block
    filled = block.middles[(block.tissue.reshape(len(block.middles), -1) == Tissue.ENAMEL).any(axis=1)]
    widths = filled.max(axis=0) - filled.min(axis=0) + block.pitch_mm
    assert widths == pytest.approx([crown.mesiodistal_mm, crown.buccolingual_mm], abs=0.4)


def test_a_bridge_is_cut_through_or_taken_off():
    plan = usual_access(anatomy("leaning-abutment"))
    through, off = (judged("leaning-abutment", replace(plan, prosthesis=way)) for way in ("through", "removed"))
    assert through.volumes_mm3["prosthesis"] > 5
    assert off.volumes_mm3["prosthesis"] == 0
    assert off.volumes_mm3["dentine"] == pytest.approx(through.volumes_mm3["dentine"], rel=0.1)


def test_a_bur_along_a_leaning_bridge_drifts_by_depth_times_the_tangent_of_the_lean():
    tooth = anatomy("leaning-abutment").tooth
    plan = replace(usual_access(anatomy("leaning-abutment")), axis=along_crown())
    found = judged("leaning-abutment", plan).axis
    # leant 24 degrees distally and 4 lingually: the cosines multiply
    lean = np.degrees(np.arccos(np.cos(np.radians(24)) * np.cos(np.radians(4))))
    assert found.crown_deg == pytest.approx(lean, abs=1e-6)
    assert found.drift_mm == pytest.approx(found.depth_mm * np.tan(np.radians(lean)), abs=1e-6)
    assert found.toward == "mesial"
    roots = judged("leaning-abutment", replace(plan, axis=along_root(tooth)))
    assert roots.axis.drift_mm == pytest.approx(0, abs=1e-6)


@pytest.mark.parametrize("name", NAMES)
def test_a_place_seen_along_the_bur_and_back_on_the_map_is_the_same_place(name):
    plan = usual_access(anatomy(name))
    block = prepared_for(anatomy(name), plan).block
    laid = block.laid(plan.points)
    back = block.on_map(laid)
    corners = np.array([np.linalg.norm(back - corner, axis=1).min() for corner in plan.points])
    assert corners.max() < 0.02


@pytest.mark.parametrize("name", ["grey-incisor", "bread-biter", "leaning-abutment", "map-engraver"])
@settings(max_examples=12, deadline=None)
@given(by=st.floats(0.3, 0.97), depth=st.floats(-1.0, 3.0), flare=st.floats(0, 8))
def test_a_larger_outline_never_removes_less_loses_a_canal_or_gains_wall(name, by, depth, flare):
    plan = usual_access(anatomy(name))
    plan = replace(plan, depth_mm=max(1.0, plan.depth_mm + depth), flare_deg=flare)
    small, large = judged(name, scaled(plan, by)), judged(name, plan)
    for tissue in ("enamel", "dentine", "prosthesis", "filling", "needed"):
        assert large.volumes_mm3[tissue] >= small.volumes_mm3[tissue] - 1e-3
    assert large.roof_left_mm2 <= small.roof_left_mm2 + 1e-9
    for before, after in zip(small.canals, large.canals, strict=True):
        assert before.lean_deg is None or (after.lean_deg is not None and after.lean_deg <= before.lean_deg)
    for part in ("crown", "root", "furcation"):
        was, now = getattr(small.walls, part), getattr(large.walls, part)
        assert was is None or now.thick_mm <= was.thick_mm + 1e-4


def test_equal_anatomies_share_what_was_prepared():
    one, other = vary(36, 7), replace(vary(36, 7), lesions=())
    assert prepare(one, along_crown()) is prepare(other, along_crown())
    assert prepare(one, along_crown()) is prepare(one, along_crown(), "removed")  # there is nothing to take off


def test_an_outline_drawn_off_the_crown_says_which_point():
    plan = AccessPlan(((0.0, 0.0), (9.0, 0.0), (0.0, 2.0)), 6.0)
    with pytest.raises(ValueError, match="point 2 of the outline"):
        judged("lower molar 36", plan)
