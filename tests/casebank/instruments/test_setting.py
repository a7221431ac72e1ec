"""What a tooth brings with it: metal, and canals that are worked to the plan or to referral."""

from dataclasses import replace

import pytest

from casebank.anatomy import Filling, Fragment, Post, Prosthesis, Restorations, RootFilling, Section
from casebank.instruments import Bench, CoronalSeal, HandFile, Irrigate, Setting, setting_of
from casebank.instruments.setting import PLAIN
from tests.teeth import lower_molar

BARE = replace(lower_molar(), prosthesis=None)

IN_THE_WAY = {
    "holds a post": Restorations(posts=(Post("D", 5.0, 1.0, "metal"),)),
    "holds an earlier root filling": Restorations(root_fillings=(RootFilling("D", 1.0),)),
    "holds the end of an instrument": Restorations(fragments=(Fragment("D", 2.0, 3.0),)),
}


@pytest.mark.parametrize("found", IN_THE_WAY)
def test_a_canal_with_something_in_it_is_left_and_the_bench_says_why_in_one_sentence(found):
    anatomy = replace(lower_molar(), restorations=IN_THE_WAY[found])
    bench = Bench.of(anatomy.tooth, setting_of(anatomy))
    bench, step = bench.make("D", HandFile(10, 15.0))
    assert step.felt.words == (
        f"Canal D {found}, so nothing is done in it at the bench: "
        "such a case is worked to the plan, or to the decision to refer."
    )
    assert step.reach.hold == "refused"
    assert step.after is step.before
    assert bench.make("MB", Irrigate())[1].reach.hold == "rinsed"
    assert bench.make("D", CoronalSeal())[1].reach.hold == "closed"


def test_a_post_is_named_before_the_filling_it_stands_in():
    both = Restorations(posts=(Post("D", 5.0, 1.0, "fibre"),), root_fillings=(RootFilling("D", 1.0, top_mm=5.5),))
    assert "holds a post" in setting_of(replace(lower_molar(), restorations=both)).closed["D"]


def test_an_open_end_is_left_from_one_millimetre_on():
    # a closed apex opens below 1 mm (AAE 2022)
    anatomy = lower_molar()

    def with_end(width_mm):
        canals = [
            replace(canal, foramen=Section(width_mm, width_mm), constriction=Section(width_mm - 0.05, width_mm - 0.05))
            if canal.name == "D"
            else canal
            for canal in anatomy.tooth.canals
        ]
        return setting_of(replace(anatomy, tooth=replace(anatomy.tooth, canals=tuple(canals)))).closed

    assert with_end(0.95) == {}
    assert "has an open end" in with_end(1.05)["D"]


@pytest.mark.parametrize(
    ("changes", "metal"),
    [
        ({}, False),
        ({"prosthesis": Prosthesis("crown", "metal-ceramic")}, True),
        ({"prosthesis": Prosthesis("crown", "ceramic")}, False),
        ({"restorations": Restorations(fillings=(Filling(("mesial", "occlusal"), "amalgam"),))}, True),
        ({"restorations": Restorations(fillings=(Filling(("occlusal",), "amalgam"),))}, False),
        ({"restorations": Restorations(fillings=(Filling(("mesial", "occlusal"), "composite"),))}, False),
    ],
)
def test_a_crown_or_a_large_filling_of_metal_is_near_enough_to_touch(changes, metal):
    assert setting_of(replace(BARE, **changes)).metal is metal


def test_a_plain_tooth_has_a_plain_setting_and_inflammation_is_told_to_it():
    assert setting_of(BARE) == PLAIN == Setting()
    inflamed = setting_of(BARE, inflamed=True)
    assert inflamed.inflamed
    bench = Bench.of(BARE.tooth, inflamed)
    assert {bench.lumen(canal).contents.bleeding for canal in bench.canals} == {"pulp"}
