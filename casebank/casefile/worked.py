"""The tasks whose reference is computed: one function a criterion, each showing its working."""

import math
from collections.abc import Callable

from casebank.anatomy import measure
from casebank.casefile.answers import Answers, Desk, ReferenceAnswer
from casebank.casefile.opened import usual_opening
from casebank.casefile.readings import SCHNEIDER, most_curved, plainest, tip_on_film_mm
from casebank.casefile.reliability import trust_in
from casebank.casefile.stated import pins_for, view_words
from casebank.instruments.teaching import TEACHING
from casebank.rubric import LevelReference, MarkReference, MeasureReference, WrittenReference

SHORT_OF_FORAMEN_MM = TEACHING.terminus_mm  # where the working length ends


def canal_count(desk: Desk) -> Answers:
    canals = desk.document.anatomy.tooth.canals
    names = ", ".join(canal.name for canal in canals)
    return {"canal-count": ReferenceAnswer(MeasureReference(float(len(canals))), (f"The anatomy has {names}.",))}


def curvature(desk: Desk) -> Answers:
    """The most curved canal, on each film as that film shows it; the true bend stands apart."""
    shown, canals = plainest(desk.readings), most_curved(desk.readings)
    by_film = {
        number: MeasureReference(
            max(reading.secant_deg for reading in desk.readings if reading.film == number and reading.canal in canals),
            canals,
        )
        for number in desk.views
    }
    tooth = desk.document.anatomy.tooth
    true_deg = measure(tooth.centre_line(tooth.canal(shown.canal), step_mm=0.02)).secant_deg
    working = [
        f"Film {reading.film} ({view_words(reading)}): {reading.canal} {reading.secant_deg:.1f}°, {SCHNEIDER.said}."
        for reading in desk.readings
    ]
    working.append(
        f"In space {shown.canal} bends {true_deg:.1f}° by the same construction; a film shows what lies in its plane."
    )
    return {"curvature": ReferenceAnswer(by_film[shown.film], tuple(working), by_film)}


def apex_mark(desk: Desk) -> Answers:
    root = desk.document.marked_root
    by_film = {number: MarkReference((tip_on_film_mm(desk.document, view),)) for number, view in desk.views.items()}
    across, down = by_film[1].points_mm[0]
    side, height = "right" if across > 0 else "left", "below" if down > 0 else "above"
    words = (
        f"On film 1 the tip of root {root} lies {abs(across):.1f} mm {side} of the middle "
        f"and {abs(down):.1f} mm {height} it."
    )
    return {"apex-mark": ReferenceAnswer(by_film[1], (words,), by_film)}


def difficulty_levels(desk: Desk) -> Answers:
    return {
        f"difficulty-levels.{factor.factor_id}": ReferenceAnswer(
            LevelReference(factor.level, pins_for(desk.document, desk.criteria, factor, list(desk.views))),
            (factor.reason,),
        )
        for factor in desk.judgement.factors
    }


def overall(desk: Desk) -> Answers:
    judged = desk.judgement.overall
    return {"overall": ReferenceAnswer(LevelReference(judged.level), (judged.reason,))}


def chamber_depth(desk: Desk) -> Answers:
    chamber = desk.document.anatomy.tooth.chamber
    words = (
        f"The chamber ends {chamber.floor_mm:.1f} mm below the reference cusp or edge, "
        f"its roof lies {chamber.roof_mm:.1f} mm below."
    )
    return {"chamber-depth": ReferenceAnswer(MeasureReference(chamber.floor_mm), (words,))}


def working_length(desk: Desk) -> Answers:
    return {
        f"working-length.{canal.name}": ReferenceAnswer(
            MeasureReference(canal.total_mm - SHORT_OF_FORAMEN_MM),
            (
                f"Cusp to orifice {canal.cusp_to_orifice_mm:.1f} mm, orifice to foramen {canal.length_mm:.1f} mm, "
                f"{SHORT_OF_FORAMEN_MM} mm short of the foramen.",
            ),
        )
        for canal in desk.document.anatomy.tooth.canals
    }


def axis(desk: Desk) -> tuple[str, ...]:
    """Working beside the author's key of the drilling axis: how far, at most, the crown's axis leads astray."""
    tooth = desk.document.anatomy.tooth
    crown, labial = tooth.crown, "labially" if tooth.number % 10 <= 3 else "buccally"
    off, occlusal_end, astray = max(
        (crown.off_root_mesiodistal_deg, ("distally", "mesially"), ("mesially", "distally")),
        (crown.off_root_buccolingual_deg, ("lingually", labial), (labial, "lingually")),
        key=lambda departure: abs(departure[0]),
    )
    if round(off) == 0:
        return ("The crown's axis follows the roots'.",)
    side = 0 if off > 0 else 1
    drift = tooth.chamber.floor_mm * math.tan(math.radians(abs(off)))
    return (
        f"The crown's axis stands {abs(off):.0f}° off the roots', its end {occlusal_end[side]}. Along the crown a bur "
        f"drifts {drift:.1f} mm {astray[side]} by {tooth.chamber.floor_mm:.1f} mm "
        f"({tooth.chamber.floor_mm:.1f} mm · tan {abs(off):.0f}°).",
    )


def proof(desk: Desk) -> tuple[str, ...]:
    """Working beside the author's key of the proof: how far each pulp test it cites can be trusted."""
    cited = desk.document.choices["proof"].best
    sentences = [trust_in(finding) for finding in desk.document.chart if finding.letter in cited]
    return tuple(sentence for sentence in sentences if sentence)


def outline(desk: Desk) -> Answers:
    """The usual opening, worked out from the chamber."""
    usual = usual_opening(desk.document)
    return {"outline": ReferenceAnswer(usual, (f"The usual opening: {usual.words}.",))}


def reason(desk: Desk) -> Answers:
    """Beside a student's reason the author's own is laid."""
    because = desk.document.choices["decision"].because
    return {"reason": ReferenceAnswer(WrittenReference(because), (because,))}


COMPUTED: dict[str, Callable[[Desk], Answers]] = {
    "canal-count": canal_count,
    "curvature": curvature,
    "apex-mark": apex_mark,
    "difficulty-levels": difficulty_levels,
    "overall": overall,
    "chamber-depth": chamber_depth,
    "working-length": working_length,
    "outline": outline,
    "reason": reason,
}
SHOWN_BESIDE_A_KEY: dict[str, Callable[[Desk], tuple[str, ...]]] = {"axis": axis, "proof": proof}
