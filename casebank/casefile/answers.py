"""A reference answer, and what is at hand while the answers of one case are worked out."""

from collections.abc import Mapping
from dataclasses import dataclass, field

from casebank.casefile.document import Document
from casebank.casefile.readings import Reading
from casebank.difficulty import Criteria, Judgement
from casebank.radiograph import View
from casebank.rubric import MarkReference, MeasureReference, Reference, Rubric


@dataclass(frozen=True)
class ReferenceAnswer:
    """The reference for one task.

    Attributes
    ----------
    value : one of the rubric's references
    working : tuple of str
        How it came about, one step a sentence.
    by_film : mapping of film number to reference
        Readings that differ by film; empty where they do not.
    unsafe : mapping of option to reason
        Options that would endanger a patient.
    """

    value: Reference
    working: tuple[str, ...]
    by_film: Mapping[int, MeasureReference | MarkReference] = field(default_factory=dict)
    unsafe: Mapping[str, str] = field(default_factory=dict)


@dataclass(frozen=True)
class Desk:
    """One case while its answers are worked out: the document, its films by number, and what they show."""

    document: Document
    rubric: Rubric
    criteria: Criteria
    views: Mapping[int, View]
    readings: tuple[Reading, ...]
    judgement: Judgement


Answers = dict[str, ReferenceAnswer]
