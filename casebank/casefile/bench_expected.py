"""What is to be expected at the bench in each canal, with the canal's own numbers."""

from casebank.anatomy import Canal
from casebank.casefile.answers import Answers, Desk, ReferenceAnswer
from casebank.casefile.document import Preparation
from casebank.casefile.worked import SHORT_OF_FORAMEN_MM
from casebank.instruments import apical_gauge
from casebank.instruments.disinfection import NOTES, cone_play, planned_reach
from casebank.instruments.teaching import TEACHING
from casebank.rubric import BenchReference, Criterion


def bench(desk: Desk, criterion: Criterion) -> Answers:
    """One bench criterion, canal by canal, or once where it is asked of the whole case."""
    if criterion.per == "case":
        return {criterion.id: ReferenceAnswer(BenchReference(criterion.ask), (criterion.ask,))}
    return {
        f"{criterion.id}.{canal.name}": ReferenceAnswer(
            BenchReference(_expected(desk, criterion, canal)),
            (criterion.ask, _numbers(canal), *_beside(desk, criterion, canal)),
        )
        for canal in desk.document.anatomy.tooth.canals
    }


def _expected(desk: Desk, criterion: Criterion, canal: Canal) -> str:
    foramen, working = f"{canal.total_mm:.1f} mm", f"{canal.total_mm - SHORT_OF_FORAMEN_MM:.1f} mm"
    final = desk.document.preparation[canal.name]
    match criterion.id:
        case "path-before-engine":
            return f"a size 10 loose to {foramen} before an engine file goes deeper than it was"
        case "length-kept":
            return f"a size 10 still to {foramen}, the prepared end within 0.5 mm of {working}"
        case "gauge":
            return _gauge(desk, canal, working)
        case "cone-fit":
            label = f"{final.size:02d}/.{round(final.taper * 100):02d}"
            return f"a cone that matches the last file and holds at {working}; this author prepares to {label}"
        case "walls-left":
            return f"{TEACHING.thin_wall_mm:.1f} mm of dentine or more on both sides, all the way down"
        case _:
            return _irrigant(final, working) if criterion.id == "disinfection-reach" else criterion.ask


def _irrigant(final: Preparation, working: str) -> str:
    reach = planned_reach(final.size, final.taper)
    return (
        f"from a safe needle, hypochlorite to about {reach.reach_short_mm:.1f} mm short of {working}; "
        f"{NOTES['final_ml'].value:g} mL of it once the canal is shaped, after EDTA"
    )


def _beside(desk: Desk, criterion: Criterion, canal: Canal) -> tuple[str, ...]:
    """What follows from the author's size: the needle's place, and what a cone's label leaves open."""
    final = desk.document.preparation[canal.name]
    match criterion.id:
        case "disinfection-reach":
            return (planned_reach(final.size, final.taper).said,)
        case "cone-fit":
            return (cone_play(final.size, final.taper, final.size / 100).said,)
        case _:
            return ()


def _gauge(desk: Desk, canal: Canal, working: str) -> str:
    gauge = apical_gauge(desk.document.anatomy.tooth, canal.name)
    if gauge.size is None:
        return f"no hand file reaches {working} before shaping"
    stops = f", {gauge.next_size:02d} stops {gauge.next_short_mm:.1f} mm short" if gauge.next_size else ""
    return f"after the flare, before shaping: {gauge.size:02d} to {working}{stops}"


def _numbers(canal: Canal) -> str:
    return (
        f"{canal.name}: cusp to foramen {canal.total_mm:.1f} mm; foramen {canal.foramen.narrow_mm:.2f} mm wide; "
        f"constriction {canal.constriction.narrow_mm:.2f} mm wide and {canal.constriction_to_foramen_mm:.1f} mm short."
    )
