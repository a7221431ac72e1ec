"""A canal's chart as a page shows it: both drawings, what they name, and the step they stand at."""

from dataclasses import dataclass

from django.utils.safestring import SafeString, mark_safe

from assess.log import Measured, State
from assess.presenting.canal_chart import CanalChart, canal_chart
from assess.presenting.chart_depths import depths
from assess.presenting.chart_section import enlarged, section
from assess.presenting.stepping import Stepping, stepping
from casebank.casefile import Document
from casebank.instruments import Bench


@dataclass(frozen=True)
class Named:
    """One thing along the canal: its length from the cusp, a sentence, and the moves that did harm there."""

    at: str
    sentence: str
    numbers: tuple[int, ...]


@dataclass(frozen=True)
class Charted:
    canal: str
    chart: CanalChart
    section: SafeString
    depths: SafeString
    enlarged: str
    named: tuple[Named, ...]
    said: str
    reference: str
    step: Stepping


def charted(bench: Bench, document: Document, state: State, canal: str, place: int | None = None) -> Charted:
    """The chart of a canal after some of its moves, all of them if no place is given."""
    said = state.answers.get(f"working-length.{canal}")
    said_mm = said.value if isinstance(said, Measured) else None
    chart = canal_chart(bench, document.anatomy.tooth, canal, place, said_mm)
    return Charted(
        canal=canal,
        chart=chart,
        section=mark_safe(section(chart)),
        depths=mark_safe(depths(chart)) if chart.columns else SafeString(),
        enlarged=enlarged(chart),
        named=tuple(Named(f"{chart.paper.at(mark.depth_mm):.1f}", mark.sentence, mark.numbers) for mark in chart.marks),
        said="" if said_mm is None else f"{said_mm:.1f}",
        reference=f"{chart.paper.at(chart.now.shape.working_depth_mm):.1f}",
        step=stepping(bench.record_of(canal), chart),
    )
