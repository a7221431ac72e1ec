"""Lesions, support, restorations and damage: what may be said of a tooth, and what its roots and canals refuse."""

from dataclasses import replace

import numpy as np
import pytest

from casebank.anatomy import (
    AngularDefect,
    Caries,
    Chip,
    Crest,
    Damage,
    DenseBone,
    Filling,
    Fragment,
    Lesion,
    OpenMargin,
    Post,
    Restorations,
    RootFilling,
    Support,
    Void,
    WidenedLigament,
)
from casebank.anatomy.fitting import filling_levels_mm, filling_mm, fragment_levels_mm, fragment_mm
from tests.teeth import lower_molar

BARE = replace(lower_molar(), lesions=(), prosthesis=None)
NAN = float("nan")


@pytest.mark.parametrize(
    "changes",
    [
        {
            "lesions": (
                Lesion("D", 3, 3, 4, site="lateral", at_mm=6.0, toward_deg=0.0),
                Lesion("M", 3, 3, 3, site="furcal"),
            )
        },
        {"dense_bone": (DenseBone("D", 6, 5, 5),)},
        {"support": Support(defects=(AngularDefect("distal", 5, 2),), widened=(WidenedLigament("M", 0.3),))},
        {"restorations": Restorations(fillings=(Filling(("mesial", "occlusal"), "amalgam"),), chamber="composite")},
        {"restorations": Restorations(root_fillings=(RootFilling("MB", 2.0, voids=(Void(5.0, 1.0),)),))},
        {"restorations": Restorations(posts=(Post("D", 6.0, 1.2, "fibre"),), fragments=(Fragment("MB", 1.0, 3.0),))},
        {"damage": Damage(caries=(Caries("distal", 2.0, 3.0),), chips=(Chip("mesial", 1.0, 1.0),))},
    ],
)
def test_what_fits_is_taken(changes):
    assert replace(BARE, **changes) != BARE


@pytest.mark.parametrize(
    ("changes", "words"),
    [
        ({"lesions": (Lesion("X", 3, 3, 3),)}, "a lesion names root X"),
        (
            {"lesions": (Lesion("D", 3, 3, 3, site="lateral", at_mm=14.0),)},
            r"at 14.0 mm lies below root D, which is 12.7",
        ),
        ({"dense_bone": (DenseBone("X", 3, 3, 3),)}, "dense bone names root X"),
        ({"support": Support(widened=(WidenedLigament("X", 0.3),))}, "a widened ligament names root X"),
        ({"support": Support(widened=(WidenedLigament("M", 0.3, at_mm=15.0),))}, "lies below root M"),
        ({"damage": Damage(open_margins=(OpenMargin("mesial", 0.3),))}, "an open margin needs a crown"),
        ({"restorations": Restorations(root_fillings=(RootFilling("X", 1.0),))}, "no such canal, only MB, ML, D"),
        ({"restorations": Restorations(root_fillings=(RootFilling("MB", 11.2),))}, "0.2 mm or more"),
        ({"restorations": Restorations(root_fillings=(RootFilling("MB", 1.0, top_mm=10.2),))}, "0.2 mm or more"),
        ({"restorations": Restorations(posts=(Post("D", 11.5, 1.0, "metal"),))}, r"its canal 11.0: shorten it"),
        (
            {"restorations": Restorations(posts=(Post("MB", 8.0, 3.0, "metal"),))},
            "the post in MB is 3.00 mm wide .* root M",
        ),
        (
            {"restorations": Restorations(fragments=(Fragment("MB", 9.0, 4.0),))},
            "the fragment in MB would run from -1.7",
        ),
        (
            {"restorations": Restorations(root_fillings=(RootFilling("MB", 0.0, apical_mm=3.0),))},
            "the root filling in MB is 3.* no room for more than",
        ),
    ],
)
def test_what_does_not_fit_is_refused_by_name(changes, words):
    with pytest.raises(ValueError, match=words):
        replace(BARE, **changes)


def test_a_furcal_lesion_needs_a_furcation():
    tooth = replace(BARE.tooth, furcation_mm=None)
    with pytest.raises(ValueError, match="a furcal lesion needs a tooth with a furcation"):
        replace(BARE, tooth=tooth, lesions=(Lesion("M", 3, 3, 3, site="furcal"),))


@pytest.mark.parametrize(
    ("value", "change"),
    [
        (Lesion("D", 3, 3, 3), {"at_mm": 3.0}),
        (Lesion("D", 3, 3, 3), {"site": "lateral"}),
        (Lesion("D", 3, 3, 3, site="lateral", at_mm=3.0), {"at_mm": -1.0}),
        (DenseBone("D", 3, 3, 3), {"height_mm": 0.0}),
        (DenseBone("D", 3, 3, 3), {"seed": -1}),
        (AngularDefect("distal", 3, 2), {"width_mm": 0.0}),
        (AngularDefect("distal", 3, 2), {"depth_mm": NAN}),
        (WidenedLigament("M", 0.3), {"extra_mm": 0.0}),
        (WidenedLigament("M", 0.3), {"at_mm": -0.1}),
        (Filling(("occlusal",), "amalgam"), {"surfaces": ()}),
        (Filling(("occlusal",), "amalgam"), {"surfaces": ("mesial", "mesial")}),
        (Filling(("occlusal",), "amalgam"), {"depth_mm": 0.1}),
        (Filling(("occlusal",), "amalgam"), {"base_mm": 2.0}),
        (Filling(("occlusal",), "amalgam"), {"gap_mm": 1.5}),
        (Filling(("occlusal",), "amalgam"), {"box_floor_mm": NAN}),
        (Void(3.0, 1.0), {"share": 1.1}),
        (RootFilling("MB", 1.0), {"short_mm": -4.5}),
        (RootFilling("MB", 1.0), {"voids": (Void(0.5, 1.0),)}),
        (Post("D", 5.0, 1.0, "metal"), {"diameter_mm": 0.4}),
        (Post("D", 5.0, 1.0, "metal"), {"above_mm": 9.0}),
        (Fragment("MB", 1.0, 3.0), {"taper": 0.2}),
        (Fragment("MB", 1.0, 3.0), {"length_mm": 0.0}),
        (Caries("distal", 2.0, 3.0), {"depth_mm": 0.1}),
        (Caries("distal", 2.0, 3.0), {"above_neck_mm": -7.0}),
        (Chip("mesial", 1.0, 1.0), {"width_mm": 0.1}),
        (OpenMargin("mesial", 0.3), {"height_mm": 0.0}),
    ],
)
def test_a_value_out_of_range_is_refused_with_a_sentence(value, change):
    with pytest.raises(ValueError, match=r"\w+ \w+ \w+"):
        replace(value, **change)


def test_each_side_has_its_own_crest():
    crest = Crest(1.0, 2.0, 3.0, 4.0)
    assert [crest.depth_mm(side) for side in ("mesial", "distal", "buccal", "lingual")] == [1.0, 2.0, 3.0, 4.0]


def test_a_root_filling_tapers_from_its_tip_and_fills_a_wider_canal():
    canal = BARE.tooth.canal("D")  # 0.80 mm at the orifice, 11.0 mm long
    dense, cone = RootFilling("D", 1.0), RootFilling("D", 1.0, spread=False)
    levels = filling_levels_mm(canal, dense)
    assert levels[[0, -1]] == pytest.approx([10.0, 0.0])
    # 0.30 mm at the tip and 0.04 more each mm; the canal's own 0.80 mm is more than 0.70 at the orifice
    assert filling_mm(canal, cone)[[0, -1]] == pytest.approx([0.30, 0.70])
    assert filling_mm(canal, dense)[-1] == pytest.approx(0.80)
    assert (filling_mm(canal, dense) >= canal.narrow_mm(levels) - 1e-12).all()


def test_a_fragment_has_its_tip_where_it_is_said_to_be():
    canal = BARE.tooth.canal("MB")
    piece = Fragment("MB", 1.0, 3.0, tip_mm=0.25, taper=0.02)
    assert fragment_levels_mm(canal, piece)[[0, -1]] == pytest.approx([canal.length_mm - 1, canal.length_mm - 4])
    assert fragment_mm(canal, piece)[[0, -1]] == pytest.approx([0.25, 0.31])
    assert np.diff(fragment_mm(canal, piece)).min() > 0
