"""A regrade as those who may apply it see it: who would move, by how much and why; and who cannot be graded again.

Names are shown to whoever reads these attempts anyway. All else is counted by assigned case, as in the tables of a
cohort: a group that is too small to be shown is left out, and so is practice that still grows.
"""

from collections import Counter
from collections.abc import Iterator
from dataclasses import dataclass
from datetime import datetime
from uuid import UUID

from django.db.models import Count, F, QuerySet
from django.db.models.functions import Abs
from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy, ngettext

from assess.grading.again import changed_parts
from assess.grading.fits import tasks_of
from assess.models import Attempt, Mode, RegradeBatch, Regraded
from assess.presenting.naming import task_words
from assess.stats import LEAST_SHOWN
from casebank.models import Edition

MOST_ROWS = 200
STILL = 1e-9  # percent: less than this is no move

PARTS = {
    "title": gettext_lazy("its title"),
    "patient": gettext_lazy("the patient"),
    "anatomy": gettext_lazy("the tooth itself: what students saw and felt was the former one"),
    "chart": gettext_lazy("the findings: what students read were the former ones"),
    "films": gettext_lazy("the films that are given"),
    "further_films_deg": gettext_lazy("the further films that answer a question"),
    "diagnosis": gettext_lazy("the diagnosis"),
    "criteria": gettext_lazy("the criteria of difficulty"),
    "rubric": gettext_lazy("the rubric"),
    "choices": gettext_lazy("the keyed choices"),
    "preparation": gettext_lazy("the preparation that is expected"),
    "marked_root": gettext_lazy("the root that is marked"),
    "misconceptions": gettext_lazy("the misconceptions it is made for"),
    "competencies": gettext_lazy("its competencies"),
    "bench_rules": gettext_lazy("the author's rules for the bench"),
    "volume_reasons": gettext_lazy("what a volume is justified by"),
}


@dataclass
class Sums:
    """How many attempts move which way. `risen` and `fallen` cross the line that was named."""

    name: str
    n: int = 0
    up: int = 0
    down: int = 0
    unchanged: int = 0
    risen: int = 0
    fallen: int = 0
    refused: int = 0


@dataclass
class TaskMoves:
    """In how many of the shown attempts a task gains points or loses some."""

    label: str
    up: int = 0
    down: int = 0


@dataclass(frozen=True)
class Mover:
    """One attempt that moves, or that keeps its grade for the reason in `trouble`."""

    public_id: UUID
    student: str
    before: float
    after: float | None
    crossing: str
    trouble: str

    @property
    def change(self) -> float:
        return 0.0 if self.after is None else self.after - self.before


@dataclass
class Preview:
    """What a regrade would move, or has moved. `left_out` counts the groups that may not be shown."""

    whole: Sums
    groups: list[Sums]
    left_out: int
    tasks: list[TaskMoves]
    troubles: list[tuple[str, int]]
    movers: list[Mover]
    more_movers: int
    changed: tuple[str, ...]


@dataclass(frozen=True)
class BatchRow:
    """One regrade in a list."""

    public_id: UUID
    edition: int
    programme: str
    state: str
    state_words: str
    drafted_at: datetime
    applied_at: datetime | None
    undone_at: datetime | None
    reason: str
    undo_reason: str
    percent_done: int


def batch_rows(batches: QuerySet[RegradeBatch]) -> list[BatchRow]:
    return [batch_row(batch) for batch in batches.select_related("edition", "programme").defer("edition__content")]


def batch_row(batch: RegradeBatch) -> BatchRow:
    return BatchRow(
        public_id=batch.public_id,
        edition=batch.edition.number,
        programme=batch.programme.name,
        state=batch.state,
        state_words=batch.get_state_display(),
        drafted_at=batch.drafted_at,
        applied_at=batch.applied_at,
        undone_at=batch.undone_at,
        reason=batch.reason,
        undo_reason=batch.undo_reason,
        percent_done=100 * batch.done // batch.whole if batch.whole else 100,
    )


def preview(batch: RegradeBatch, readable: QuerySet[Attempt], now: datetime) -> Preview:
    """What a batch moves. `readable` are the attempts whose students may be named to the reader."""
    groups, tasks, troubles = _counted(batch, readable, now)
    labels = {task.id: task_words(task, batch.edition.document) for task in tasks_of(batch.edition.document)}
    whole = Sums(_("All that are shown"))
    for group in groups.values():
        for name in ("n", "up", "down", "unchanged", "risen", "fallen", "refused"):
            setattr(whole, name, getattr(whole, name) + getattr(group, name))
    listed = batch.regraded.filter(attempt__in=readable.values("pk"), attempt__assigned__assignment__mode=Mode.GRADED)
    movers = list(_movers(batch, listed))
    return Preview(
        whole=whole,
        groups=list(groups.values()),
        left_out=_set_work(batch)
        .exclude(attempt__assigned__in=groups)
        .aggregate(groups=Count("attempt__assigned", distinct=True))["groups"],
        tasks=[
            TaskMoves(labels.get(task, task), up, down)
            for task, (up, down) in sorted(tasks.items(), key=lambda one: -sum(one[1]))
        ],
        troubles=troubles.most_common(),
        movers=movers[:MOST_ROWS],
        more_movers=max(0, len(movers) - MOST_ROWS),
        changed=_changed(batch),
    )


Counted = tuple[dict[int, Sums], dict[str, list[int]], Counter[str]]


def _counted(batch: RegradeBatch, readable: QuerySet[Attempt], now: datetime) -> Counted:
    """Sums of each assigned case that may be shown, and of all these the tasks that move and what cannot be graded."""
    groups = _shown_groups(batch, readable, now)
    tasks: dict[str, list[int]] = {}
    troubles: Counter[str] = Counter()
    rows = batch.regraded.filter(attempt__assigned__in=groups)
    values = rows.values_list("attempt__assigned", "former__percent", "grade__percent", "trouble", "moved")
    for assigned, before, after, trouble, moved in values.order_by("pk").iterator():
        sums = groups[assigned]
        sums.n += 1
        if after is None:
            sums.refused += 1
            troubles[trouble] += 1
            continue
        way = _way(before, after)
        setattr(sums, way, getattr(sums, way) + 1)
        if crossing := _crossing(batch, before, after):
            setattr(sums, crossing, getattr(sums, crossing) + 1)
        for task, (points, points_after) in moved["tasks"].items():
            tasks.setdefault(task, [0, 0])[points_after < points] += 1
    return groups, tasks, troubles


def _set_work(batch: RegradeBatch) -> QuerySet[Regraded]:
    return batch.regraded.filter(attempt__assigned__isnull=False)


def _shown_groups(batch: RegradeBatch, readable: QuerySet[Attempt], now: datetime) -> dict[int, Sums]:
    """The assigned cases with enough attempts, and those all of whose attempts the reader reads anyway."""
    found: dict[int, Sums] = {}
    set_work = _set_work(batch)
    sizes = Counter(set_work.values_list("attempt__assigned", flat=True))
    read = Counter(set_work.filter(attempt__in=readable.values("pk")).values_list("attempt__assigned", flat=True))
    ordered = set_work.order_by("attempt__assigned__assignment__cohort__name", "attempt__assigned").distinct()
    for assigned, cohort, title, mode, closes_at in ordered.values_list(
        "attempt__assigned",
        "attempt__assigned__assignment__cohort__name",
        "attempt__assigned__assignment__title",
        "attempt__assigned__assignment__mode",
        "attempt__assigned__assignment__closes_at",
    ):
        grows = mode == Mode.PRACTICE and closes_at > now
        enough = sizes[assigned] >= LEAST_SHOWN or (mode == Mode.GRADED and read[assigned] == sizes[assigned])
        if enough and not grows:
            found[assigned] = Sums(f"{cohort}, {title}")
    return found


def _movers(batch: RegradeBatch, listed: QuerySet[Regraded]) -> Iterator[Mover]:
    """Those who cannot be graded again, then those who move, the farthest first."""
    rows = listed.select_related("attempt__student", "former", "grade").defer("former__result", "grade__result")
    moved = rows.annotate(by=Abs(F("grade__percent") - F("former__percent")))
    for one in [*moved.filter(grade=None), *moved.filter(by__gt=STILL).order_by("-by", "pk")]:
        after = one.grade.percent if one.grade else None
        crossing = _crossing(batch, one.former.percent, after) if after is not None else ""
        words = {"risen": _("reaches the line"), "fallen": _("falls below the line"), "": ""}[crossing]
        yield Mover(one.attempt.public_id, one.attempt.student.username, one.former.percent, after, words, one.trouble)


def _way(before: float, after: float) -> str:
    if abs(after - before) <= STILL:
        return "unchanged"
    return "up" if after > before else "down"


def _crossing(batch: RegradeBatch, before: float, after: float) -> str:
    """Whether the line named is reached, or no longer; to reach it is enough."""
    if batch.cut is None or (before >= batch.cut) == (after >= batch.cut):
        return ""
    return "risen" if after >= batch.cut else "fallen"


def _changed(batch: RegradeBatch) -> tuple[str, ...]:
    """What differs between the edition graded under and those the attempts were worked on."""
    worked_on = Edition.objects.filter(attempts__regraded__batch=batch).exclude(pk=batch.edition_id).distinct()
    parts = {part: None for one in worked_on for part in changed_parts(one.content, batch.edition.content)}
    return tuple(str(PARTS.get(part, part)) for part in parts)


def moved_words(sums: Sums, cut: float | None) -> list[str]:
    """The sums as sentences, for the command."""
    said = [
        ngettext("%(n)d attempt: ", "%(n)d attempts: ", sums.n) % {"n": sums.n}
        + _("%(up)d up, %(down)d down, %(unchanged)d unchanged in percent, %(refused)d cannot be graded again")
        % {"up": sums.up, "down": sums.down, "unchanged": sums.unchanged, "refused": sums.refused}
    ]
    if cut is not None:
        said.append(
            _("%(risen)d reach the line of %(cut)g %%, %(fallen)d fall below it")
            % {"risen": sums.risen, "fallen": sums.fallen, "cut": cut}
        )
    return said
