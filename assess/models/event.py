"""The log of an attempt as it is stored. Events are append-only, and each carries the hash of the one before."""

import hashlib
import json
from datetime import UTC, datetime
from typing import Any

from django.db import models
from pydantic import TypeAdapter

from assess.log import AnyEvent
from assess.log.reading import LOG_VERSION
from assess.models.attempt import Attempt

LONGEST_KEY = 64
EVENT: TypeAdapter[AnyEvent] = TypeAdapter(AnyEvent)


class Event(models.Model):
    """One event as it was stored: `payload` is its canonical JSON. Triggers refuse to change or delete it."""

    attempt = models.ForeignKey(Attempt, on_delete=models.PROTECT, related_name="events")
    seq = models.PositiveIntegerField()
    kind = models.CharField(max_length=20)
    payload = models.TextField()
    at = models.DateTimeField()
    key = models.CharField(max_length=LONGEST_KEY, blank=True, default="")
    previous = models.CharField(max_length=64)
    sha256 = models.CharField(max_length=64)

    class Meta:
        ordering = ("attempt", "seq")
        constraints = [
            models.UniqueConstraint(fields=("attempt", "seq"), name="event_seq_once_per_attempt"),
            models.UniqueConstraint(
                fields=("attempt", "key"), condition=~models.Q(key=""), name="event_key_once_per_attempt"
            ),
            models.CheckConstraint(condition=models.Q(seq__gte=1), name="event_seq_starts_at_1"),
        ]

    def __str__(self) -> str:
        return f"event {self.seq} of {self.attempt}"

    @property
    def event(self) -> AnyEvent:
        return EVENT.validate_json(self.payload)

    def link(self) -> str:
        """The hash this event must carry: of the one before and of everything it says itself."""
        said = [
            self.previous,
            str(self.attempt.public_id),
            self.seq,
            self.kind,
            self.payload,
            self.at.astimezone(UTC).isoformat(),
            self.key,
        ]
        return hashlib.sha256(json.dumps(said).encode()).hexdigest()


def store(*, attempt: Attempt, event: AnyEvent, at: datetime, key: str = "") -> Event:
    """Append one event to a locked attempt; the caller holds the transaction and has checked that it may happen."""
    last = attempt.events.order_by("-seq").first()
    stored = Event(
        attempt=attempt,
        seq=event.seq,
        kind=event.event,
        payload=event.model_dump_json(),
        at=at,
        key=key,
        previous=last.sha256 if last else attempt.first_link(),
    )
    stored.sha256 = stored.link()
    stored.save(force_insert=True)
    return stored


def attempt_log_record(attempt: Attempt) -> dict[str, Any]:
    """The attempt's log as a log file holds it: the grade command gives the same grade for it."""
    return {
        "log_version": LOG_VERSION,
        "case": attempt.edition.document.slug,
        "events": [json.loads(stored.payload) for stored in attempt.events.order_by("seq")],
    }
