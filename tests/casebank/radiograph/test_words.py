"""A film in words: more detail adds sentences, the view changes them, and nothing of a key is in them."""

import re
from dataclasses import replace

import pytest

from casebank.radiograph import Receptor, View, aim, rod_in_canal
from casebank.radiograph.words import describe, roots_in_order, texts
from tests.casebank.radiograph.test_visibility import with_canals, with_lesion
from tests.teeth import lower_molar

VIEWS = pytest.mark.parametrize("view", [View(), View(20)], ids=["straight", "shifted"])


@VIEWS
def test_the_full_account_holds_the_brief_one_in_its_order(view):
    brief, full = (describe(lower_molar(), view, detail=detail) for detail in ("brief", "full"))
    places = [full.index(sentence) for sentence in brief]
    assert places == sorted(places)
    assert len(full) > len(brief) + 5


@VIEWS
def test_no_number_and_no_word_of_a_level_is_said(view):
    said = " ".join(describe(lower_molar(), view))
    assert not re.search(r"\d", said)
    assert not re.search(r"\b(low|moderate|high|mm|degrees?)\b", said)


def test_names_the_anatomy_gives_are_not_said():
    anatomy = lower_molar()
    tooth = anatomy.tooth
    roots = tuple(replace(root, name=f"Zeppelin {root.name}") for root in tooth.roots)
    canals = tuple(replace(one, name=f"Yodel {one.name}", root=f"Zeppelin {one.root}") for one in tooth.canals)
    lesions = tuple(replace(one, root=f"Zeppelin {one.root}") for one in anatomy.lesions)
    renamed = replace(anatomy, tooth=replace(tooth, roots=roots, canals=canals), lesions=lesions)
    assert describe(renamed, View()) == describe(anatomy, View())


def test_two_lines_show_where_one_did_when_the_tube_moves():
    anatomy = with_canals(0.4, 0.5)
    further = "Beside it a further dark line"
    straight, shifted = describe(anatomy, View()), describe(anatomy, View(20))
    assert not any(sentence.startswith(further) for sentence in straight)
    assert sum(sentence.startswith(further) for sentence in shifted) == 1
    assert "tube straight" in straight[0]
    assert "tube moved mesially" in shifted[0]


def test_a_root_bending_distally_is_told_so():
    assert any(
        re.fullmatch(r"The mesial root runs straight at first and turns distally in its \w+ third\.", sentence)
        for sentence in describe(lower_molar(), View())
    )


def test_a_dark_area_that_cannot_be_seen_is_told_as_none():
    speck, none = with_lesion(0.8), replace(lower_molar(), lesions=())
    assert describe(speck, View()) == describe(none, View())
    assert "No dark area stands out round the ends of the roots." in describe(none, View(), detail="brief")


def test_a_dark_area_is_told_by_its_root_and_its_size_against_it():
    # 6 mm beside a root that is 2.7 mm wide near its end
    said = describe(with_lesion(6.0, "perforated"), View(), detail="brief")
    assert "A dark area lies round the end of the mesial root, more than twice as wide as the root." in said


def test_a_root_end_off_the_picture_is_told_as_such():
    said = describe(lower_molar(), View(aim_occlusal_mm=14), detail="brief")
    assert "The end of the distal root is not in the picture." in said


def test_a_file_is_told_by_where_it_ends():
    anatomy = lower_molar()
    ends = {}
    for short_mm in (3.0, -2.0):
        rod = rod_in_canal(anatomy, "D", lambda tip: 0.3 + 0 * tip, short_mm)
        ends[short_mm] = next(one for one in describe(anatomy, View(), rods=(rod,)) if "opaque line" in one)
    assert "distal root; it ends before the end of the root" in ends[3.0]
    assert "it goes past the end of the root" in ends[-2.0]


def test_a_crown_of_metal_hides_the_chamber_and_a_bridge_names_its_gap():
    said = describe(lower_molar(), View())
    assert "It carries a bridge of metal under ceramic, white and opaque in its core." in said
    assert any("the bridge replaces the lower left first molar" in sentence for sentence in said)


@pytest.mark.parametrize("number", [17, 27, 37, 47])
def test_roots_are_called_by_their_order_on_the_film_in_every_quadrant(number):
    anatomy = replace(lower_molar(), tooth=replace(lower_molar().tooth, number=number))
    assert roots_in_order(anatomy, aim(View(), Receptor(), anatomy)) == {"M": "mesial", "D": "distal"}


def test_another_language_gives_other_sentences_with_the_same_gaps():
    said = describe(lower_molar(), View(), translate=lambda text: f"‹{text}›")
    assert all(sentence.startswith("‹") and sentence.endswith("›") for sentence in said)
    assert any("‹mesial root›" in sentence for sentence in said)


def test_no_text_holds_a_number():
    assert not [text for group in texts().values() for text in group.values() if re.search(r"\d", text)]


def test_an_unknown_detail_is_refused():
    with pytest.raises(ValueError, match="brief or full"):
        describe(lower_molar(), View(), detail="long")  # type: ignore[arg-type]
