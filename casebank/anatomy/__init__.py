"""What a tooth is: values and measures, in millimetres and degrees."""

from casebank.anatomy.access import AccessVerdict, judge_access
from casebank.anatomy.access_findings import AccessFinding, AccessLevel
from casebank.anatomy.access_plan import AccessPlan, BurAxis, along_bite, along_crown, along_root
from casebank.anatomy.branches import LateralCanal, Slit
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
from casebank.anatomy.damage import Caries, Chip, Damage, OpenMargin
from casebank.anatomy.jaws import (
    Jaw,
    MentalForamen,
    NasalFloor,
    NerveCanal,
    ObliqueRidge,
    Sinus,
    Zygoma,
    usual_jaw,
)
from casebank.anatomy.lesions import DenseBone, Lesion
from casebank.anatomy.mouth import Anatomy, Bone, Neighbour, Placement, Prosthesis
from casebank.anatomy.resorption import ExternalResorption, InternalResorption
from casebank.anatomy.restorations import Filling, Fragment, Post, Restorations, RootFilling, Void
from casebank.anatomy.root import Root, Station
from casebank.anatomy.stones import CanalStone, ChamberStone
from casebank.anatomy.support import AngularDefect, Crest, Support, WidenedLigament
from casebank.anatomy.tooth import Chamber, Crown, Tooth
from casebank.anatomy.walls import Walls, around, facing_furcation

__all__ = [
    "AccessFinding",
    "AccessLevel",
    "AccessPlan",
    "AccessVerdict",
    "Anatomy",
    "AngularDefect",
    "Bone",
    "BurAxis",
    "Canal",
    "CanalStone",
    "Caries",
    "Chamber",
    "ChamberStone",
    "Chip",
    "Course",
    "Crest",
    "Crown",
    "Curvature",
    "Damage",
    "DenseBone",
    "ExternalResorption",
    "Filling",
    "Fragment",
    "InternalResorption",
    "Jaw",
    "LateralCanal",
    "Leg",
    "Lesion",
    "MentalForamen",
    "Narrowing",
    "NasalFloor",
    "Neighbour",
    "NerveCanal",
    "ObliqueRidge",
    "OpenMargin",
    "Placement",
    "Points",
    "Position",
    "Post",
    "Prosthesis",
    "Restorations",
    "Root",
    "RootFilling",
    "Section",
    "Sinus",
    "Slit",
    "Station",
    "Support",
    "Tooth",
    "Void",
    "Walls",
    "WidenedLigament",
    "Zygoma",
    "along_bite",
    "along_crown",
    "along_root",
    "around",
    "bearing",
    "circumradius_mm",
    "facing_furcation",
    "judge_access",
    "measure",
    "radius_from_chord_mm",
    "summed_turning_deg",
    "true_secant_deg",
    "usual_canals",
    "usual_jaw",
]
