"""What can be done to attempts and assignments.

Each function asks the policy, opens one transaction and returns what it stored. Pages, API, commands and tests all come
through here, so a rule stands in one place.
"""

from assess.actions.assigning import set_assignment, withdraw_assignment
from assess.actions.counting import recount
from assess.actions.refusals import Refused, StageClosed
from assess.actions.replaying import keep_worked
from assess.actions.working import commit_stage, record, self_grade, start_assigned, start_attempt

__all__ = [
    "Refused",
    "StageClosed",
    "commit_stage",
    "keep_worked",
    "record",
    "recount",
    "self_grade",
    "set_assignment",
    "start_assigned",
    "start_attempt",
    "withdraw_assignment",
]
