"""What is stored of an attempt."""

from assess.models.attempt import Attempt, AttemptQuerySet
from assess.models.event import Event, attempt_log_record, store
from assess.models.grade import StoredGrade
from assess.models.proof import broken_links

__all__ = ["Attempt", "AttemptQuerySet", "Event", "StoredGrade", "attempt_log_record", "broken_links", "store"]
