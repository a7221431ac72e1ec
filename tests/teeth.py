"""Teeth for tests, built in code so that a room's tests need no case file."""

import math

from casebank.anatomy import (
    Anatomy,
    Bone,
    Canal,
    Chamber,
    Course,
    Crest,
    Crown,
    Leg,
    Lesion,
    Neighbour,
    Placement,
    Prosthesis,
    Root,
    Section,
    Station,
    Support,
    Tooth,
)


def straight_then_arc(length_mm: float, radius_mm: float, turn_deg: float, toward_deg: float = 0.0) -> tuple[Leg, Leg]:
    """Legs of a canal of the given whole length that ends in one arc."""
    arc_mm = radius_mm * math.radians(turn_deg)
    return Leg(length_mm - arc_mm), Leg(arc_mm, radius_mm, toward_deg)


def lower_molar() -> Anatomy:
    """A tilted lower left second molar under a bridge: two narrow mesial canals and one distal."""
    mesial = Root(
        name="M",
        start_mm=(-2.5, 0.0, 0.4),
        course=Course(legs=(Leg(6.9), Leg(6.0, 10.2, 0.0))),
        stations=(
            Station(0, 2.0),
            Station(0.3, 1.74),
            Station(0.55, 1.48),
            Station(0.8, 1.28),
            Station(0.92, 0.95),
            Station(1, 0.62),
        ),
        flattening=1.9,
    )
    distal = Root(
        name="D",
        start_mm=(2.5, 0.0, 0.4),
        course=Course(legs=(Leg(9.6), Leg(3.1, 40.0, 0.0))),
        stations=(Station(0, 1.9), Station(0.3, 1.66), Station(0.6, 1.36), Station(0.85, 1.0), Station(1, 0.66)),
        flattening=1.6,
    )
    mesiobuccal = Canal(
        name="MB",
        root="M",
        cusp_to_orifice_mm=8.5,
        orifice_mm=(-2.5, -1.5),
        course=Course(straight_then_arc(11.3, 10.0, 36.0), lean_deg=4.5, lean_toward_deg=270.0),
        orifice=Section(0.50, 0.70),
        constriction=Section(0.20, 0.36),
        foramen=Section(0.40, 0.40),
    )
    mesiolingual = Canal(
        name="ML",
        root="M",
        cusp_to_orifice_mm=8.4,
        orifice_mm=(-2.4, 1.4),
        course=Course(straight_then_arc(11.2, 10.0, 32.0), lean_deg=4.5, lean_toward_deg=90.0),
        orifice=Section(0.50, 0.70),
        constriction=Section(0.22, 0.34),
        foramen=Section(0.40, 0.40),
    )
    distal_canal = Canal(
        name="D",
        root="D",
        cusp_to_orifice_mm=8.3,
        orifice_mm=(2.5, 0.0),
        course=Course(straight_then_arc(11.0, 12.0, 16.0)),
        orifice=Section(0.80, 1.60),
        constriction=Section(0.33, 0.44),
        foramen=Section(0.48, 0.48),
    )
    tooth = Tooth(
        number=37,
        crown=Crown(7.0, 10.6, 10.0, 9.6, 9.0, off_root_mesiodistal_deg=24.0, off_root_buccolingual_deg=4.0),
        chamber=Chamber(roof_mm=6.8, floor_mm=8.3, mesiodistal_mm=5.6, buccolingual_mm=4.2),
        roots=(mesial, distal),
        canals=(mesiobuccal, mesiolingual, distal_canal),
        furcation_mm=11.0,
    )
    return Anatomy(
        tooth=tooth,
        placement=Placement(tilt_deg=26.0, rotation_deg=6.0),
        support=Support(crest=Crest(2.8, 2.5, 2.5, 2.5)),
        bone=Bone(seed=18),
        lesions=(Lesion("M", 4.0, 4.0, 5.0, cortex="thinned", side="lingual", seed=18),),
        prosthesis=Prosthesis("bridge", "metal-ceramic", 0.5, (35, 36, 37)),
        neighbours=(Neighbour(36, -10.6, "pontic"), Neighbour(35, -19.2, "abutment")),
    )
