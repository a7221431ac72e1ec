"""What a tooth is: values and measures, in millimetres and degrees."""

from casebank.anatomy.canal import Canal, Narrowing, Section
from casebank.anatomy.canal_names import usual_canals
from casebank.anatomy.course import Course, Leg, Points, Position, bearing
from casebank.anatomy.curvature import (
    Curvature,
    circumradius_mm,
    measure,
    radius_from_chord_mm,
    summed_turning_deg,
    true_secant_deg,
)
from casebank.anatomy.mouth import Anatomy, Bone, Crest, Lesion, Neighbour, Placement, Prosthesis, Support
from casebank.anatomy.root import Root, Station
from casebank.anatomy.tooth import Chamber, Crown, Tooth
from casebank.anatomy.walls import Walls, around, facing_furcation

__all__ = [
    "Anatomy",
    "Bone",
    "Canal",
    "Chamber",
    "Course",
    "Crest",
    "Crown",
    "Curvature",
    "Leg",
    "Lesion",
    "Narrowing",
    "Neighbour",
    "Placement",
    "Points",
    "Position",
    "Prosthesis",
    "Root",
    "Section",
    "Station",
    "Support",
    "Tooth",
    "Walls",
    "around",
    "bearing",
    "circumradius_mm",
    "facing_furcation",
    "measure",
    "radius_from_chord_mm",
    "summed_turning_deg",
    "true_secant_deg",
    "usual_canals",
]
