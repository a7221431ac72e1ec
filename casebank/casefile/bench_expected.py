"""What is to be expected at the bench in each canal, with the canal's own numbers."""

from casebank.anatomy import Canal
from casebank.casefile.answers import Answers, Desk, ReferenceAnswer
from casebank.casefile.worked import SHORT_OF_FORAMEN_MM
from casebank.instruments import apical_gauge
from casebank.rubric import BenchReference, Criterion


def bench(desk: Desk, criterion: Criterion) -> Answers:
    """One bench criterion, canal by canal."""
    return {
        f"{criterion.id}.{canal.name}": ReferenceAnswer(
            BenchReference(_expected(desk, criterion, canal)), (criterion.ask, _numbers(canal))
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
        case _:
            return criterion.ask


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
