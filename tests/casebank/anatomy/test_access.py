"""What an opening in a box does, worked out by hand (see `access_boxes`); and that a verdict keeps its own laws."""

import json
import math
from dataclasses import replace

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from casebank.anatomy.access import RIGHT, TOO_SMALL, judge_access
from casebank.anatomy.access_block import Tissue
from casebank.anatomy.access_findings import AccessLevel, graded
from casebank.anatomy.access_plan import AccessPlan, BurAxis
from casebank.anatomy.access_prepared import Prepared
from tests.casebank.anatomy.access_boxes import box, box_block, rectangle


def test_beside_the_chamber_the_volume_is_area_times_depth():
    # 2.1 × 1.8 mm, 4 mm deep, sides on the edges of cells: 15.12 mm³, none of it needed
    volumes = judge_access(box(), rectangle(2.1, -0.9, 4.2, 0.9, 4.0)).volumes_mm3
    assert volumes["dentine"] == pytest.approx(15.12, rel=0.01)
    assert volumes["beyond"] == pytest.approx(15.12 - volumes["needed"])


def test_over_the_chamber_only_what_lies_over_its_roof_is_hard_tissue_and_all_of_it_is_needed():
    # the chamber's own outline, 3.0 × 4.2 mm, over a roof at 4.5 mm: 56.7 mm³
    verdict = judge_access(box(), rectangle(-1.5, -2.1, 1.5, 2.1, 5.5))
    assert verdict.opened
    assert verdict.volumes_mm3["dentine"] == pytest.approx(56.7, rel=0.005)
    assert verdict.volumes_mm3["beyond"] == pytest.approx(0, abs=0.01)
    assert verdict.roof_left_mm2 == 0
    assert verdict.in_short == RIGHT


def test_walls_that_close_in_make_a_frustum():
    # a square of 4 mm, 3 mm deep, closing by k = tan 10° a side: integral of (4 - 2kt)² is 16h - 8kh² + 4/3 k²h³
    k, h = math.tan(math.radians(10)), 3.0
    by_hand = 16 * h - 8 * k * h**2 + 4 / 3 * k**2 * h**3
    assert by_hand == pytest.approx(36.424, abs=1e-3)
    verdict = judge_access(box(), rectangle(-2, -2, 2, 2, h, flare_deg=10))
    assert verdict.volumes_mm3["dentine"] == pytest.approx(by_hand, rel=0.01)


def test_enamel_is_told_from_dentine():
    # 1.5 mm of enamel on top: of a 3.0 × 4.2 mm opening 18.9 mm³ are enamel and 37.8 mm³ dentine
    capped = Prepared(box_block(cap=Tissue.ENAMEL, cap_mm=1.5))
    volumes = judge_access(capped, rectangle(-1.5, -2.1, 1.5, 2.1, 5.5)).volumes_mm3
    assert volumes["enamel"] == pytest.approx(18.9, rel=0.01)
    assert volumes["dentine"] == pytest.approx(37.8, rel=0.01)


def test_caries_had_to_go_and_is_not_counted_beyond_need():
    decayed = Prepared(box_block(cap=Tissue.CARIES, cap_mm=3.0))
    volumes = judge_access(decayed, rectangle(2.1, -0.9, 4.2, 0.9, 3.0)).volumes_mm3
    assert volumes["caries"] == pytest.approx(2.1 * 1.8 * 3.0, rel=0.01)
    assert volumes["beyond"] == 0


@pytest.mark.parametrize(
    ("sides", "side", "left_mm"),
    [  # the box ends 4.5 mm from its middle; the map of tooth 36 has distal at its right and buccal below
        ((-1.5, -1.5, 3.0, 1.5), "distal", 1.5),
        ((-3.6, -1.5, 1.5, 1.5), "mesial", 0.9),
        ((-1.5, -1.5, 1.5, 3.3), "buccal", 1.2),
        ((-1.5, -2.7, 1.5, 1.5), "lingual", 1.8),
    ],
)
def test_the_thinnest_wall_is_where_the_outline_comes_nearest_the_outside(sides, side, left_mm):
    crown = judge_access(box(), rectangle(*sides, 4.0)).walls.crown
    assert crown.side == side
    assert crown.thick_mm == pytest.approx(left_mm, abs=0.03)


def test_a_shallow_cut_leaves_the_chamber_closed_and_says_by_how_much():
    verdict = judge_access(box(), rectangle(-1.5, -2.1, 1.5, 2.1, 3.5))
    assert not verdict.opened
    opened = next(finding for finding in verdict.findings if finding.kind == "opened")
    assert "ends 1.0 mm above it" in opened.reason
    assert verdict.roof_left_mm2 == pytest.approx(3.0 * 4.2)
    assert verdict.canals[0].lean_deg is None
    assert verdict.in_short == TOO_SMALL


def test_a_wall_in_a_shafts_way_is_named_and_measured():
    # the mesial side stands 0.15 mm mesial of the orifice, a shaft needs 0.34 mm: 0.19 mm are in its way. Pivoting on
    # the orifice 6.6 mm down it must clear the roof's edge at 4.5 mm: atan(0.19 / 2.1) = 5.2 degrees, in cells of 0.15
    reach = judge_access(box(), rectangle(-0.15, -2.1, 2.1, 2.1, 5.5)).canals[0]
    assert reach.wall == "the mesial wall"
    assert reach.wall_mm == pytest.approx(0.19, abs=0.08)
    assert 3 <= reach.lean_deg <= 7
    assert reach.angle_before_deg == pytest.approx(reach.lean_deg, abs=0.01)  # a straight canal: the line is its axis
    assert reach.angle_after_deg == pytest.approx(0, abs=1e-6)


def test_a_bur_that_goes_on_comes_out_of_the_root():
    # an opening of 2.1 × 1.8 mm through the bottom, 12 mm down
    verdict = judge_access(box(), rectangle(-1.05, -0.9, 1.05, 0.9, 12.6))
    found = next(finding for finding in verdict.findings if finding.kind == "perforation")
    assert found.size == pytest.approx(2.1 * 1.8, rel=0.2)
    assert found.level == AccessLevel.UNSAFE
    assert "12.0 mm below" in found.reason
    assert verdict.walls.root.thick_mm == 0
    assert verdict.in_short == "gouged"


def test_above_the_bottom_the_root_wall_is_what_is_left_of_it():
    # 10.5 mm deep over a bottom at 12 mm, and 3.45 mm to the sides: 1.5 mm are left below
    verdict = judge_access(box(), rectangle(-1.05, -0.9, 1.05, 0.9, 10.5))
    assert verdict.walls.root.thick_mm == pytest.approx(1.5, abs=0.08)
    assert not [finding for finding in verdict.findings if finding.kind == "perforation"]


def test_a_rest_of_the_roof_is_measured_and_placed():
    # the distal 1.2 mm of a roof of 3.0 × 4.2 mm still stand: 5.04 mm²
    verdict = judge_access(box(), rectangle(-1.5, -2.1, 0.3, 2.1, 5.5))
    roof = next(finding for finding in verdict.findings if finding.kind == "roof")
    assert roof.size == pytest.approx(5.04, rel=0.02)
    assert roof.subject == "distal"


def test_levels_are_bands_with_a_share_that_falls_evenly():
    sizes = np.linspace(0.4, 1.7, 27)
    shares = [graded(size, 1.5, 0.6)[1] for size in sizes]
    assert shares[0] == 0
    assert shares[-1] == 1
    assert max(np.diff(shares)) <= 0.05 / 0.9 + 1e-9  # no cliff: 0.05 mm never costs more than its part of 0.9 mm
    assert [graded(size, 1.5, 0.6)[0] for size in (0.5, 1.0, 1.6)] == [
        AccessLevel.UNSAFE,
        AccessLevel.COSTS,
        AccessLevel.AS_NEEDED,
    ]


def test_a_verdict_is_the_same_twice_and_goes_through_json_whole():
    plan = replace(rectangle(-1.2, -1.6, 1.7, 1.9, 5.0, flare_deg=5), marks=((0.1, 0.2),))
    records = [judge_access(Prepared(box_block()), plan).record() for _ in range(2)]
    assert records[0] == records[1]
    assert json.loads(json.dumps(records[0], allow_nan=False)) == records[0]


def test_every_finding_has_a_reason_that_is_a_sentence_and_a_size_or_none():
    for plan in (rectangle(-0.6, -0.6, 0.6, 0.6, 3.0), rectangle(-1.5, -2.1, 1.5, 2.1, 5.5)):
        for finding in judge_access(box(), plan).findings:
            assert finding.reason[0].isupper() or finding.reason[0].isdigit()
            assert finding.reason.endswith(".")
            assert 0 <= finding.share <= 1
            assert finding.unit


def test_a_tooth_prepared_for_another_axis_is_refused():
    with pytest.raises(ValueError, match="prepare it for the plan's own"):
        judge_access(box(), replace(rectangle(-1, -1, 1, 1, 5.0), axis=BurAxis(5.0)))


STAR = st.lists(st.floats(0.6, 3.4), min_size=5, max_size=12)


def star(radii: list[float], middle: tuple[float, float], by: float = 1.0, **more: float) -> AccessPlan:
    """An outline round a middle, seen from which every point has its own direction, so that growing it nests it."""
    turn = np.arange(len(radii)) * 2 * np.pi / len(radii)
    points = np.array(middle) + by * np.array(radii)[:, None] * np.stack([np.cos(turn), np.sin(turn)], axis=1)
    return AccessPlan(tuple(map(tuple, points.tolist())), **more)


def none_is_far(wall) -> float:
    return math.inf if wall is None else wall.thick_mm


@settings(max_examples=60, deadline=None)
@given(STAR, st.floats(-0.6, 0.6), st.floats(0.4, 0.98), st.floats(1.0, 12.5), st.floats(0, 12))
def test_a_larger_outline_never_removes_less_loses_a_canal_or_gains_wall(radii, x, by, depth, flare):
    small, large = (
        judge_access(box(), star(radii, (x, 0.2), scale, depth_mm=depth, flare_deg=flare)) for scale in (by, 1.0)
    )
    for name in ("dentine", "needed"):
        assert large.volumes_mm3[name] >= small.volumes_mm3[name] - 1e-6
    assert large.volumes_mm3["beyond"] >= small.volumes_mm3["beyond"] - 1e-6
    assert large.opened >= small.opened
    assert large.roof_left_mm2 <= small.roof_left_mm2 + 1e-9
    for before, after in zip(small.canals, large.canals, strict=True):
        assert before.lean_deg is None or (after.lean_deg is not None and after.lean_deg <= before.lean_deg)
    for part in ("crown", "root", "furcation"):
        assert none_is_far(getattr(large.walls, part)) <= none_is_far(getattr(small.walls, part)) + 1e-5


@settings(max_examples=40, deadline=None)
@given(STAR, st.floats(1.0, 8.0), st.floats(0, 4))
def test_a_deeper_bur_never_removes_less_or_leaves_more(radii, depth, more):
    shallow, deep = (judge_access(box(), star(radii, (0, 0), depth_mm=d)) for d in (depth, depth + more))
    assert deep.volumes_mm3["dentine"] >= shallow.volumes_mm3["dentine"] - 1e-6
    assert deep.roof_left_mm2 <= shallow.roof_left_mm2 + 1e-9
    assert none_is_far(deep.walls.root) <= none_is_far(shallow.walls.root) + 1e-5


@settings(max_examples=20, deadline=None)
@given(STAR, st.integers(0, 11), st.booleans())
def test_where_the_outline_begins_and_which_way_it_runs_do_not_matter(radii, start, backwards):
    plan = star(radii, (0.1, -0.2), depth_mm=5.0)
    points = plan.outline[start % len(radii) :] + plan.outline[: start % len(radii)]
    other = replace(plan, outline=points[::-1] if backwards else points)
    assert judge_access(box(), plan).record() == judge_access(box(), other).record()


@settings(max_examples=15, deadline=None)
@given(STAR)
def test_the_same_outline_on_the_other_side_of_the_mouth_is_judged_the_same(radii):
    # the map of 46 has distal at its left, that of 36 at its right: mirrored, the opening is the same on the crown
    plan = star(radii, (0.3, 0.2), depth_mm=5.0)
    mirrored = replace(plan, outline=tuple((-right, down) for right, down in plan.outline))
    left, right = judge_access(box(36), plan).record(), judge_access(box(46), mirrored).record()
    for verdict in (left, right):
        for finding in verdict["findings"]:
            finding.pop("at_mm")
        verdict.pop("marks")
    assert left == right


@pytest.mark.parametrize(("distal", "lingual"), [(3, 0), (0, 4), (2, 5)])
def test_where_the_block_begins_does_not_matter(distal, lingual):
    block = box_block()
    wider = np.pad(block.tissue, ((distal, 0), (lingual, 0), (0, 0)))
    corner = tuple(c - n * block.pitch_mm for c, n in zip(block.corner_mm, (distal, lingual), strict=True))
    moved = Prepared(replace(block, tissue=wider, corner_mm=corner))
    plan = rectangle(-1.2, -1.9, 1.7, 1.9, 5.0, flare_deg=5)
    one, other = judge_access(box(), plan), judge_access(moved, plan)
    assert one.volumes_mm3 == pytest.approx(other.volumes_mm3, abs=1e-4)
    assert one.walls.crown.thick_mm == pytest.approx(other.walls.crown.thick_mm, abs=1e-4)
    assert [reach.lean_deg for reach in one.canals] == [reach.lean_deg for reach in other.canals]


@settings(max_examples=15, deadline=None)
@given(STAR)
def test_turned_by_a_right_angle_with_the_tooth_the_opening_takes_as_much(radii):
    # the box is square outside; its chamber and the outline are turned with it
    plan = star(radii, (0.0, 0.0), depth_mm=5.0)
    block = box_block()
    turned = Prepared(replace(block, tissue=np.ascontiguousarray(block.tissue.transpose(1, 0, 2))))
    across = replace(plan, outline=tuple((-down, -right) for right, down in plan.outline))
    one, other = judge_access(box(), plan), judge_access(turned, across)
    assert one.volumes_mm3["dentine"] == pytest.approx(other.volumes_mm3["dentine"], abs=1e-3)
    assert one.roof_left_mm2 == pytest.approx(other.roof_left_mm2)
    assert none_is_far(one.walls.crown) == pytest.approx(none_is_far(other.walls.crown), abs=1e-4)
