"""Lists: a student's own work, and the cases with what the student has done of each."""

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import datetime
from uuid import UUID

from assess.log import Stage
from assess.models import Attempt
from assess.presenting.naming import tooth_words
from assess.presenting.standing import STAGE_NAMES, StageMark
from casebank.models import Case


@dataclass(frozen=True)
class Work:
    """One attempt in a list: the stage it stands at, none once it is settled, and where to go on.

    `assigned` is the assigned case it answers and `set_in` the title of its assignment; none and empty for practice of
    the student's own.
    """

    public_id: UUID
    slug: str
    title: str
    tooth: int
    tooth_words: str
    started_at: datetime
    stage: str | None
    stage_name: str
    stages: tuple[StageMark, ...]
    edition: int
    assigned: int | None
    set_in: str


@dataclass(frozen=True)
class CaseRow:
    """One case in the list, with the student's unfinished attempt if there is one and how many are finished."""

    slug: str
    title: str
    tooth: int
    tooth_words: str
    unfinished: Work | None
    finished: int


def work_rows(attempts: Sequence[Attempt]) -> list[Work]:
    """Attempts as rows. Each carries `committed`, its number of committed stages, which come in order."""
    return [_work(attempt, getattr(attempt, "committed", 0)) for attempt in attempts]


def case_rows(cases: Sequence[Case], works: Sequence[Work]) -> list[CaseRow]:
    """Cases that have an edition, each with the newest one's title; editions are fetched newest first."""
    rows = []
    for case in cases:
        edition = next(iter(case.editions.all()), None)
        if edition is None:
            continue
        own = [work for work in works if work.slug == case.slug]
        rows.append(
            CaseRow(
                slug=case.slug,
                title=edition.title,
                tooth=edition.tooth,
                tooth_words=tooth_words(edition.tooth),
                unfinished=next((work for work in own if work.stage), None),
                finished=sum(work.stage is None for work in own),
            )
        )
    return rows


def _work(attempt: Attempt, committed: int) -> Work:
    stages = tuple(Stage)
    stage = stages[committed] if committed < len(stages) else None
    edition = attempt.edition
    return Work(
        public_id=attempt.public_id,
        slug=edition.case.slug,
        title=edition.title,
        tooth=edition.tooth,
        tooth_words=tooth_words(edition.tooth),
        started_at=attempt.started_at,
        stage=stage.value if stage else None,
        stage_name=str(STAGE_NAMES[stage]) if stage else "",
        stages=tuple(
            StageMark(one.value, "closed" if place < committed else "now" if place == committed else "later")
            for place, one in enumerate(stages)
        ),
        edition=edition.number,
        assigned=attempt.assigned_id,
        set_in=attempt.assigned.assignment.title if attempt.assigned else "",
    )
