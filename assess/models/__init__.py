"""What is stored of attempts, and of what a cohort is asked to do."""

from assess.models.assignment import AssignedCase, Assignment, Feedback, Mode
from assess.models.attempt import Attempt, AttemptQuerySet
from assess.models.event import Event, attempt_log_record, store
from assess.models.grade import StoredGrade
from assess.models.proof import broken_links
from assess.models.tally import Tally, UnsafeTally

__all__ = [
    "AssignedCase",
    "Assignment",
    "Attempt",
    "AttemptQuerySet",
    "Event",
    "Feedback",
    "Mode",
    "StoredGrade",
    "Tally",
    "UnsafeTally",
    "attempt_log_record",
    "broken_links",
    "store",
]
