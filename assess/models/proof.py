"""Whether a stored attempt still is what it was when it was stored."""

from collections.abc import Iterator

from pydantic import ValidationError

from assess.models.attempt import Attempt
from assess.models.event import Event


def broken_links(attempt: Attempt) -> Iterator[str]:
    """What does not hold in an attempt, one sentence a place; nothing if it is whole.

    A log cut off at its end still is a chain: only the grade that counted its events can tell.
    """
    if not attempt.edition.is_intact:
        yield f"{attempt}: the content of {attempt.edition} was changed after it was published"
    previous, count = attempt.first_link(), 0
    for count, stored in enumerate(attempt.events.order_by("seq"), 1):
        stored.attempt = attempt
        if stored.seq != count:
            yield f"{attempt}, event {count}: missing, event {stored.seq} stands in its place"
            return
        if trouble := _trouble(stored, previous):
            yield f"{attempt}, event {count}: {trouble}"
        previous = stored.sha256
    for grade in attempt.grades.all():
        if grade.events != count:
            yield f"{attempt}, event {count + 1}: the grade counts {grade.events} events, {count} are stored"


def _trouble(stored: Event, previous: str) -> str:
    if stored.sha256 != stored.link():
        return "it was changed after it was stored"
    if stored.previous != previous:
        return "it does not follow what stands before it"
    try:
        event = stored.event
    except ValidationError:
        return "its content is no event"
    return "" if (event.seq, event.event) == (stored.seq, stored.kind) else "its content is of another event"
