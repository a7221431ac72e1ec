"""What is stored of attempts, and of what a cohort is asked to do."""

from assess.models.assignment import AssignedCase, Assignment, Feedback, Mode
from assess.models.attempt import Attempt, AttemptQuerySet
from assess.models.event import Event, attempt_log_record, store
from assess.models.grade import StoredGrade
from assess.models.proof import broken_links
from assess.models.regrade import OPEN_STATES, RegradeBatch, Regraded, RegradeState
from assess.models.tally import Tally, UnsafeTally
from assess.models.words_marked import WordsMarked

__all__ = [
    "OPEN_STATES",
    "AssignedCase",
    "Assignment",
    "Attempt",
    "AttemptQuerySet",
    "Event",
    "Feedback",
    "Mode",
    "RegradeBatch",
    "RegradeState",
    "Regraded",
    "StoredGrade",
    "Tally",
    "UnsafeTally",
    "WordsMarked",
    "attempt_log_record",
    "broken_links",
    "store",
]
