"""What can be done to the bank. Each function asks the policy, opens one transaction and returns what it stored."""

from casebank.actions.accounts import renew_password
from casebank.actions.drafting import discard_draft, import_draft, publish_draft
from casebank.actions.licensing import Limits, place_cohorts, state_licence
from casebank.actions.publishing import publish_edition, reopen_case, retire_case
from casebank.actions.refusals import Refused
from casebank.actions.seating import apply_roster, make_cohort, plan_roster

__all__ = [
    "Limits",
    "Refused",
    "apply_roster",
    "discard_draft",
    "import_draft",
    "make_cohort",
    "place_cohorts",
    "plan_roster",
    "publish_draft",
    "publish_edition",
    "renew_password",
    "reopen_case",
    "retire_case",
    "state_licence",
]
