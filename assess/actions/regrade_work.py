"""Working regrades out, a chunk of attempts at a time: it can be stopped at any moment and goes on where it was.

A worker holds its batch by a mark of its own and shows that it is alive with each chunk. One whose mark has grown old
was killed: the next worker takes the batch over.
"""

import uuid
from collections.abc import Callable, Iterator, Mapping, Sequence
from concurrent.futures import ProcessPoolExecutor
from contextlib import contextmanager
from datetime import datetime, timedelta
from multiprocessing import get_context
from typing import Any

from django.db import reset_queries, transaction
from django.db.models import Exists, OuterRef, Q, QuerySet
from django.utils import timezone

from assess.actions.regrading import attempts_to_regrade
from assess.grading import GRADER_VERSION
from assess.grading.again import GradedAgain, graded_again
from assess.grading.movement import movement
from assess.models import Attempt, Event, RegradeBatch, Regraded, RegradeState, StoredGrade
from casebank.models import Edition

CHUNK = 40  # attempts: a second or so, so that a cancel is heard soon
MANY = 400  # attempts from which further processes are worth their start
DEAD_AFTER = timedelta(minutes=2)

Ask = tuple[str, str, tuple[str, ...]]
Clock = Callable[[], datetime]
Grader = Callable[[Sequence[Ask]], list[GradedAgain]]


def next_regrade(now: datetime) -> RegradeBatch | None:
    """The batch that waits longest for a worker: a drafted one, or one whose worker has died."""
    return RegradeBatch.objects.filter(_free(now)).order_by("drafted_at", "pk").first()


def work_out(
    batch: RegradeBatch,
    *,
    processes: int = 1,
    clock: Clock = timezone.now,
    show: Callable[[int, int], None] = lambda done, whole: None,
) -> RegradeBatch:
    """Grade a batch's attempts until it is ready; stops if it is cancelled or taken over meanwhile.

    What breaks is said in the batch, which has failed then. An attempt that cannot be graded breaks nothing.
    """
    worker = str(uuid.uuid4())
    if RegradeBatch.objects.filter(_free(clock()), pk=batch.pk).update(
        state=RegradeState.COMPUTING, worker=worker, beat_at=clock()
    ):
        held = RegradeBatch.objects.filter(pk=batch.pk, state=RegradeState.COMPUTING, worker=worker)
        try:
            with _graders(processes if batch.whole >= MANY else 1) as grader:
                _work(batch, held, grader, clock, show)
        except Exception as trouble:
            held.update(state=RegradeState.FAILED, failure=str(trouble) or type(trouble).__name__)
            raise
    batch.refresh_from_db()
    return batch


def _work(
    batch: RegradeBatch, held: QuerySet[RegradeBatch], grader: Grader, clock: Clock, show: Callable[[int, int], None]
) -> None:
    if batch.grader != GRADER_VERSION:
        raise ValueError("the grader has changed since this was drafted: draft it anew")
    last = 0
    while chunk := _after(batch, last):
        last = chunk[-1].pk
        known = _known(batch, chunk)
        asked = [attempt for attempt in chunk if attempt.pk not in known]
        graded = grader([_ask(batch.edition, attempt) for attempt in asked])
        by_attempt = dict(zip([attempt.pk for attempt in asked], graded, strict=True))
        with transaction.atomic():
            if not held.select_for_update().exists():
                return
            _keep(batch, chunk, by_attempt, clock())
            done = batch.regraded.count()
            held.update(done=done, whole=max(batch.whole, done), beat_at=clock())
        reset_queries()  # what was asked for would be kept while debugging
        show(done, max(batch.whole, done))
    done = batch.regraded.count()
    held.update(state=RegradeState.READY, worker="", done=done, whole=done)


def _free(now: datetime) -> Q:
    """Batches that a worker may take."""
    return Q(state=RegradeState.DRAFTED) | Q(state=RegradeState.COMPUTING, beat_at__lt=now - DEAD_AFTER)


def _after(batch: RegradeBatch, last: int) -> list[Attempt]:
    """The next attempts that the batch does not hold yet."""
    listed = Regraded.objects.filter(batch=batch, attempt=OuterRef("pk"))
    left = attempts_to_regrade(batch.edition, batch.programme).filter(~Exists(listed), pk__gt=last)
    return list(left.select_related("edition__case")[:CHUNK])


def _ask(edition: Edition, attempt: Attempt) -> Ask:
    for one in (edition, attempt.edition):
        if not one.is_intact:
            raise ValueError(f"the content of {one} was changed after it was published: restore it from a backup")
    log = Event.objects.filter(attempt=attempt).order_by("seq").values_list("payload", flat=True)
    return attempt.edition.content, edition.content, tuple(log)


def _known(batch: RegradeBatch, chunk: Sequence[Attempt]) -> dict[int, StoredGrade]:
    """Grades of the batch's version that are stored already, by attempt: an earlier regrade may have made them."""
    same = StoredGrade.objects.filter(edition_sha256=batch.edition.sha256, grader=batch.grader)
    return {grade.attempt_id: grade for grade in same.filter(attempt__in=[attempt.pk for attempt in chunk])}


def _keep(batch: RegradeBatch, chunk: Sequence[Attempt], graded: Mapping[int, GradedAgain], now: datetime) -> None:
    """Store a chunk, each grade once whoever has made it; the caller holds the transaction."""
    keys = [attempt.pk for attempt in chunk]
    list(Attempt.objects.select_for_update().filter(pk__in=keys).order_by("pk"))  # two programmes may share a student
    standing = {grade.attempt_id: grade for grade in StoredGrade.objects.standing().filter(attempt__in=keys)}
    known = _known(batch, chunk)
    made = [
        _grade(batch, standing[key], one.record, now)
        for key, one in graded.items()
        if one.record is not None and key not in known
    ]
    StoredGrade.objects.bulk_create(made)
    known |= {grade.attempt_id: grade for grade in made}
    Regraded.objects.bulk_create(
        Regraded(
            batch=batch,
            attempt_id=key,
            former=standing[key],
            grade=known.get(key),
            trouble="" if key in known else graded[key].trouble,
            moved=movement(standing[key].result, known[key].result) if key in known else {},
        )
        for key in keys
    )


def _grade(batch: RegradeBatch, former: StoredGrade, record: dict[str, Any], now: datetime) -> StoredGrade:
    return StoredGrade(
        attempt_id=former.attempt_id,
        edition_sha256=batch.edition.sha256,
        rubric=record["versions"]["rubric"],
        criteria=record["versions"]["criteria"],
        grader=record["versions"]["grader"],
        events=former.events,
        percent=min(100.0, record["percent"]),  # a sum of shares may end a hair above
        result=record,
        graded_at=now,
        supersedes=former,
        regrade=batch,
    )


@contextmanager
def _graders(processes: int) -> Iterator[Grader]:
    """Something that grades many logs: here, or in so many processes, which see no database."""
    if processes == 1:
        yield lambda asks: [graded_again(*ask) for ask in asks]
        return
    with ProcessPoolExecutor(processes, mp_context=get_context("spawn")) as pool:
        yield lambda asks: list(pool.map(graded_again, *zip(*asks, strict=True), chunksize=5)) if asks else []
