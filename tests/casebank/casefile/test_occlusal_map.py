"""The crown's map: what is on it, what can never be on it before release, and that it measures in millimetres."""

import re
import xml.etree.ElementTree as ET
from dataclasses import replace
from pathlib import Path

import numpy as np
import pytest

from casebank.anatomy import (
    Anatomy,
    Canal,
    Chamber,
    Course,
    Crown,
    Leg,
    Lesion,
    Narrowing,
    Prosthesis,
    Root,
    Section,
    Station,
    Tooth,
)
from casebank.anatomy.occlusal import map_frame
from casebank.anatomy.restorations import Filling, Restorations
from casebank.casefile.chamber_map import chamber_map, chamber_outlines
from casebank.casefile.occlusal_map import occlusal_map, relief_of, view_box
from casebank.radiograph import Material
from tests.teeth import lower_molar

CSS = Path(__file__).parents[3] / "casebank/static/casebank/css/tooth_map.css"
NS = "{http://www.w3.org/2000/svg}"


def natural(number: int, crown: Crown | None = None) -> Anatomy:
    """A tooth with one straight root and canal under a crown of ordinary size."""
    crown = crown or Crown(8.0, 9.0, 10.0, 6.0, 8.0)
    root = Root("R", (0.0, 0.0, 0.4), Course((Leg(12.0),)), (Station(0, 2.5), Station(1, 0.6)), 1.3)
    canal = Canal(
        "C", "R", 8.5, (0.0, 0.0), Course((Leg(11.7),)), Section(0.6, 0.8), Section(0.25, 0.25), Section(0.4, 0.4)
    )
    return Anatomy(Tooth(number, crown, Chamber(5.0, 8.5, 2.0, 3.0), (root,), (canal,)))


def changed_inside(anatomy: Anatomy) -> Anatomy:
    """The same tooth with other canals, another chamber and a lesion."""
    tooth = anatomy.tooth
    canals = tuple(replace(canal, narrowings=(Narrowing(5.0, 0.12),)) for canal in tooth.canals)
    canals = tuple(replace(canal, name=f"{canal.name}x", orifice=Section(0.45, 0.55)) for canal in canals)
    chamber = Chamber(tooth.chamber.roof_mm - 0.7, tooth.chamber.floor_mm, 3.0, 2.5)
    inside = replace(tooth, canals=canals, chamber=chamber)
    return replace(anatomy, tooth=inside, lesions=(Lesion(tooth.roots[0].name, 6.0, 5.0, 5.0),))


@pytest.mark.parametrize("anatomy", [natural(11), natural(16), lower_molar()], ids=["11", "16", "37 bridged"])
def test_two_teeth_that_differ_only_inside_have_the_same_map_to_the_byte(anatomy):
    other = changed_inside(anatomy)
    assert occlusal_map(anatomy).encode() == occlusal_map(other).encode()
    assert chamber_map(anatomy) != chamber_map(other)


def test_nothing_inside_is_named_on_the_map_before_release():
    drawn = occlusal_map(lower_molar())
    for word in ("chamber", "orifice", "canal", ">MB<", "pulp", "map-roof"):
        assert word not in drawn.lower() if word.islower() else word not in drawn


@pytest.mark.parametrize("draw", [occlusal_map, chamber_map])
@pytest.mark.parametrize("number", [11, 16, 36, 43])
def test_the_drawing_is_one_accessible_element_that_a_strict_policy_lets_through(draw, number):
    drawn = draw(natural(number), "a <tooth>")
    root = ET.fromstring(drawn)
    assert root.tag == f"{NS}svg"
    assert root.get("role") == "img"
    named = root.get("aria-labelledby").split()
    title, desc = root.find(f"{NS}title"), root.find(f"{NS}desc")
    assert [title.get("id"), desc.get("id")] == named
    assert "a <tooth>" in title.text
    for side in map_frame(natural(number).tooth).sides.__dict__.values():
        assert side.capitalize() in {each.text for each in root.iter(f"{NS}text")}
    assert not re.search(r"\bstyle=|<style|<script|\bon\w+=|href=", drawn)
    attributes = {key for each in root.iter() for key in each.attrib}
    assert not attributes & {"fill", "stroke", "stroke-width", "font-size", "opacity", "color"}


def test_every_class_that_paints_has_a_rule_and_no_rule_states_a_colour_of_its_own():
    rules = CSS.read_text(encoding="utf-8")
    used = set()
    for anatomy in (natural(16), lower_molar()):
        for drawn in (occlusal_map(anatomy), chamber_map(anatomy)):
            used |= {name for names in re.findall(r'class="([^"]+)"', drawn) for name in names.split()}
    unpainted = {"map-crown", "map-ceramic", "map-start"}  # names for a page to use, painted by what they hold
    assert {name for name in used if f".{name}" not in rules} <= unpainted
    assert not re.search(r"#[0-9a-fA-F]{3,6}\b|rgb\(", rules)


@pytest.mark.parametrize("number", [11, 12, 13, 14, 15, 16, 17, 18, 41, 42, 43, 44, 45, 46, 47, 48])
def test_a_crown_is_drawn_at_its_own_size_in_millimetres(number):
    anatomy = natural(number)
    outline = relief_of(anatomy).outline[0]
    width, height = np.ptp(outline, axis=0)
    assert width == pytest.approx(9.0, abs=0.45)
    front = number % 10 <= 3
    assert height == pytest.approx(8.0 if front else 10.0, abs=0.6)
    left, top, wide, high = view_box(map_frame(anatomy.tooth))
    assert left < outline[:, 0].min()
    assert outline[:, 0].max() < left + wide
    assert top < outline[:, 1].min()
    assert outline[:, 1].max() < top + high


def test_an_outline_turns_over_with_the_quadrant_and_the_jaw():
    first, second = (relief_of(natural(number)).outline[0] for number in (16, 26))
    ends = [(line[:, 0].min(), line[:, 0].max()) for line in (first, second)]
    assert ends[0] == pytest.approx((-ends[1][1], -ends[1][0]), abs=0.02)
    # the palatal half of an upper first molar's map lies below, and its heights are those of the other side's map
    assert relief_of(natural(16)).heights == pytest.approx(
        relief_of(natural(26)).heights[:, ::-1], abs=0.05, nan_ok=True
    )


def test_cusps_stand_out_and_the_groove_between_them_is_sunk():
    relief = relief_of(natural(46))
    rows, columns = relief.heights.shape
    heights = relief.heights
    middle = heights[rows // 2, columns // 2]
    cusps = [heights[: rows // 2], heights[rows // 2 :]]
    assert all(float(np.nanmax(half)) - middle > 0.8 for half in cusps)


def test_a_restored_crown_says_what_it_is_made_of():
    crowned = replace(natural(16), prosthesis=Prosthesis("crown", "ceramic"))
    assert ">ceramic crown<" in occlusal_map(crowned)
    assert "a ceramic crown" in occlusal_map(crowned)
    assert "a natural crown" in occlusal_map(natural(16))
    assert "carries a bridge" in occlusal_map(lower_molar())


def test_a_filling_is_outlined_and_named_and_a_base_under_it_is_not():
    crown = Crown(7.5, 11.0, 10.5, 9.0, 9.0)
    plain = natural(46, replace(crown, height_mm=8.0))
    filling = Filling(("mesial", "occlusal"), "amalgam", depth_mm=2.2, width_mm=3.5)
    filled, based = (
        replace(plain, restorations=Restorations(fillings=(each,))) for each in (filling, replace(filling, base_mm=0.8))
    )
    drawn = occlusal_map(filled)
    assert ">amalgam filling<" in drawn
    assert "a natural crown with amalgam filling" in drawn
    assert 'class="map-patch map-patch-amalgam"' in drawn
    assert "map-patch" not in occlusal_map(plain)
    assert occlusal_map(based) == drawn
    # mesial of a lower right molar is at the right, and there the patch reaches the crown's side
    columns = np.nonzero((relief_of(filled).materials == Material.AMALGAM).any(axis=0))[0]
    right = relief_of(filled).corner_mm[0] + 0.08 * columns.max()
    assert right == pytest.approx(5.5, abs=0.5)


def test_orifices_stand_where_the_anatomy_has_them():
    anatomy = lower_molar()
    frame = map_frame(anatomy.tooth)
    root = ET.fromstring(chamber_map(anatomy))
    drawn = [(float(one.get("cx")), float(one.get("cy"))) for one in root.iter(f"{NS}ellipse")]
    expected = frame.on_map(np.array([anatomy.tooth.orifice_of(canal) for canal in anatomy.tooth.canals]))
    assert np.array(drawn) == pytest.approx(expected, abs=0.006)
    # quadrant 3: mesial at the left, lingual at the top
    by_name = dict(zip((canal.name for canal in anatomy.tooth.canals), drawn, strict=True))
    assert by_name["MB"][0] < by_name["D"][0]
    assert by_name["ML"][1] < by_name["MB"][1]
    assert {each.text for each in root.iter(f"{NS}text")} >= {"MB", "ML", "D"}


def test_the_chamber_is_drawn_at_its_widths_and_smaller_under_its_roof():
    anatomy = natural(36)
    anatomy = replace(anatomy, tooth=replace(anatomy.tooth, chamber=Chamber(4.0, 8.5, 3.0, 4.0)))
    floor, roof = chamber_outlines(anatomy)
    assert np.ptp(max(floor, key=len), axis=0) == pytest.approx([3.0, 4.0], abs=0.3)
    assert (np.ptp(max(roof, key=len), axis=0) < np.ptp(max(floor, key=len), axis=0)).all()


def test_a_front_tooths_chamber_is_one_shadow_above_the_neck():
    anatomy = natural(11)
    floor, roof = chamber_outlines(anatomy)
    assert roof == []
    shadow = max(floor, key=len)
    # floor 8.5 and roof 5 mm below an edge 8 mm above the neck; the edge is at the top, so what is higher is negative
    assert shadow[:, 1].max() == pytest.approx(0.5, abs=0.2)
    assert shadow[:, 1].min() < -2.8
