"""What can be done to attempts and assignments.

Each function asks the policy, opens one transaction and returns what it stored. Pages, API, commands and tests all come
through here, so a rule stands in one place.
"""

from assess.actions.assigning import set_assignment, withdraw_assignment
from assess.actions.counting import recount
from assess.actions.marking_words import mark_words
from assess.actions.refusals import Refused, StageClosed
from assess.actions.regrade_work import next_regrade, work_out
from assess.actions.regrading import apply_regrade, cancel_regrade, draft_regrade, redraft_regrade, undo_regrade
from assess.actions.replaying import keep_worked
from assess.actions.settling import mark_own, self_grade
from assess.actions.working import commit_stage, record, start_assigned, start_attempt

__all__ = [
    "Refused",
    "StageClosed",
    "apply_regrade",
    "cancel_regrade",
    "commit_stage",
    "draft_regrade",
    "keep_worked",
    "mark_own",
    "mark_words",
    "next_regrade",
    "record",
    "recount",
    "redraft_regrade",
    "self_grade",
    "set_assignment",
    "start_assigned",
    "start_attempt",
    "undo_regrade",
    "withdraw_assignment",
    "work_out",
]
