"""The document that is a case: what an author decides, in one file. Everything else is computed from it.

The schema is versioned. Values that describe the tooth stand in `casebank.anatomy` and are checked there, so that a
document which loads is a tooth that can exist.
"""

from collections.abc import Mapping
from typing import Annotated, Literal, Self

from pydantic import Field, model_validator

from casebank.anatomy import AccessPlan, Anatomy, BurAxis
from casebank.casefile.part import Part
from casebank.casefile.tests_made import Presence, Sign, ToothTest
from casebank.instruments import Instrument
from casebank.instruments.author_rules import BenchRule
from casebank.radiograph.cone_beam import reasons

SCHEMA_VERSION = 1

Slug = Annotated[str, Field(pattern=r"^[a-z0-9]+(-[a-z0-9]+)*$", max_length=60)]
Text = Annotated[str, Field(min_length=1, max_length=2000)]
Letter = Annotated[str, Field(pattern=r"^[a-z]$")]
Share = Annotated[float, Field(ge=0, le=1)]


class Patient(Part):
    """The invented person: an age, an unlikely trade and what they say. Never a name."""

    age: Annotated[int, Field(ge=6, le=100)]
    trade: Text
    complaint: Text
    background: Text
    """Health, medicines and allergies in one or two sentences."""


class Finding(Part):
    """One entry of the chart."""

    letter: Letter
    item: Text
    when: Literal["start", "asked"]
    """Shown at once, or when the student asks for it."""
    minutes: Annotated[float, Field(ge=0, le=15)]
    """Chair time it costs: a teaching choice."""
    result: Text
    states: Mapping[str, str | int] = {}
    """Facts for the difficulty criteria that this finding carries, by the fact's name."""
    shows: tuple[str, ...] = ()
    """Facts that the anatomy decides and that this finding lets a student see."""
    test: ToothTest | None = None
    """The test this finding reports, where it reports one."""
    signs: Mapping[Sign, Presence] = {}
    """Signs and complaints of the case's own tooth that this finding names, each present or absent."""


class GivenFilm(Part):
    """A view the student has from the start."""

    horizontal_deg: Annotated[float, Field(ge=-45, le=45)] = 0.0
    vertical_deg: Annotated[float, Field(ge=-45, le=45)] = 0.0
    roll_deg: Annotated[float, Field(ge=-45, le=45)] = 0.0


class Diagnosis(Part):
    """One pulpal and one apical term, in the terms of a named edition."""

    pulpal: Text
    apical: Text
    terms: Text


class Choice(Part):
    """The author's key of one choice: what fits, what fits in part, and why."""

    best: Annotated[tuple[str, ...], Field(min_length=1)]
    partly: Mapping[str, Share] = {}
    unsafe: Mapping[str, Text] = {}
    """Options that would endanger a patient, each with the reason."""
    because: Text


class Preparation(Part):
    """The size and taper this author would prepare one canal to: a judgement, beside what the bench computes."""

    size: int
    taper: float

    @model_validator(mode="after")
    def _is_an_instrument(self) -> Self:
        Instrument(self.size, self.taper, kind="engine")
        return self


class Opening(Part):
    """The author's own opening: an outline on the crown's map, how deep, and along which axis of the bur."""

    outline_mm: Annotated[tuple[tuple[float, float], ...], Field(min_length=3, max_length=200)]
    """Right and down on the crown's map."""
    depth_mm: float
    """Of the bur's tip below the crown's highest point, along the bur."""
    distal_deg: float = 0.0
    lingual_deg: float = 0.0
    """How far the bur leans off the crown's own axis."""

    @model_validator(mode="after")
    def _is_a_plan(self) -> Self:
        self.plan()
        return self

    def plan(self) -> AccessPlan:
        """The same as what can be cut into the tooth."""
        return AccessPlan(self.outline_mm, self.depth_mm, BurAxis(self.distal_deg, self.lingual_deg))


class Document(Part):
    """A case."""

    schema_version: Literal[1]
    slug: Slug
    title: Text
    patient: Patient
    anatomy: Anatomy
    chart: Annotated[tuple[Finding, ...], Field(min_length=1, max_length=26)]
    films: Annotated[tuple[GivenFilm, ...], Field(min_length=1, max_length=4)]
    further_films_deg: tuple[Annotated[float, Field(ge=-45, le=45)], ...] = ()
    """Horizontal tube angles of the further films that answer a question in this case; + = tube moved mesially."""
    diagnosis: Diagnosis
    criteria: Slug
    """Name of the difficulty criteria set."""
    rubric: Slug
    """Name of the rubric."""
    choices: Mapping[str, Choice]
    """The author's keys, by the rubric's criterion."""
    preparation: Mapping[str, Preparation]
    """By canal."""
    marked_root: str
    """Root whose tip the student marks on the first film."""
    misconceptions: tuple[Annotated[str, Field(pattern=r"^m\d\d$")], ...] = ()
    competencies: Annotated[tuple[Slug, ...], Field(min_length=1)]
    bench_rules: Annotated[tuple[Annotated[BenchRule, Field(discriminator="when")], ...], Field(max_length=12)] = ()
    """What the author calls unsafe at this tooth's bench, beside the rules that hold in every case."""
    opening: Opening | None = None
    """The usual opening of this tooth as its author would make it; worked out from the chamber where it is left out."""
    volume_reasons: tuple[Slug, ...] = ()
    """Reasons for a limited cone-beam volume that hold in this case and that its anatomy does not show."""

    @model_validator(mode="after")
    def _hangs_together(self) -> Self:
        letters = [finding.letter for finding in self.chart]
        if letters != [chr(ord("a") + number) for number in range(len(letters))]:
            raise ValueError(f"findings are lettered a, b, c … in order; the chart has {', '.join(letters)}")
        for finding in self.chart:
            if finding.when == "start" and finding.minutes:
                raise ValueError(
                    f"finding {finding.letter} is shown at the start, so it costs no time: set minutes to 0"
                )
        stated = [fact for finding in self.chart for fact in finding.states]
        if len(set(stated)) != len(stated):
            raise ValueError("two findings state the same fact: let one finding carry each fact")
        canals = {canal.name for canal in self.anatomy.tooth.canals}
        if set(self.preparation) != canals:
            raise ValueError(f"preparation must name each canal once: {', '.join(sorted(canals))}")
        if self.marked_root not in {root.name for root in self.anatomy.tooth.roots}:
            raise ValueError(f"marked_root {self.marked_root} is no root of this tooth")
        names = [reason.slug for reason in reasons()]
        if unknown := [name for name in self.volume_reasons if name not in names]:
            raise ValueError(f"volume_reasons: there is no reason {unknown[0]}: use one of {', '.join(names)}")
        for number, rule in enumerate(self.bench_rules):
            if rule.canal is not None and rule.canal not in canals:
                raise ValueError(
                    f"bench_rules[{number}].canal: {rule.canal} is no canal of this tooth: "
                    f"use one of {', '.join(sorted(canals))}, or leave it out where the rule holds in all"
                )
        return self

    def finding(self, letter: str) -> Finding:
        """The finding with that letter. KeyError naming the letters there are, if none has it."""
        for finding in self.chart:
            if finding.letter == letter:
                return finding
        raise KeyError(f"no finding {letter}: the chart has {', '.join(finding.letter for finding in self.chart)}")
