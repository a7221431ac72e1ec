"""Assignments: set for a cohort, and withdrawn as long as nobody has begun."""

from collections.abc import Sequence
from datetime import datetime

from django.db import transaction
from django.utils.translation import gettext as _

from assess import policies
from assess.actions.refusals import Refused
from assess.models import AssignedCase, Assignment, Attempt, Feedback, Mode
from casebank.models import Case, Cohort, Edition, User
from casebank.policies import require

MOST_CASES = 40


def set_assignment(
    *,
    cohort: Cohort,
    title: str,
    mode: Mode,
    feedback: Feedback,
    cases: Sequence[Case],
    opens_at: datetime,
    closes_at: datetime,
    by: User,
    now: datetime,
) -> Assignment:
    """Set cases for a cohort, each in the edition it has now. Refused says what to change."""
    require(policies.may_assign(by, cohort), _("Only the cohort's tutors and the programme's director can set work."))
    _require_window(opens_at, closes_at, now)
    editions = [_edition(case) for case in cases]
    if not editions or len(set(editions)) != len(editions) or len(editions) > MOST_CASES:
        raise Refused(_("Choose from 1 to %(most)d cases, each once.") % {"most": MOST_CASES})
    with transaction.atomic():
        assignment = Assignment.objects.create(
            cohort=cohort,
            title=title.strip(),
            mode=mode,
            feedback=feedback,
            opens_at=opens_at,
            closes_at=closes_at,
            set_by=by,
            set_at=now,
        )
        AssignedCase.objects.bulk_create(
            AssignedCase(assignment=assignment, edition=edition, place=place)
            for place, edition in enumerate(editions, 1)
        )
        return assignment


def withdraw_assignment(*, assignment: Assignment, by: User) -> None:
    """Take an assignment back. Refused once somebody has begun it: work is never thrown away."""
    require(
        policies.may_assign(by, assignment.cohort),
        _("Only the cohort's tutors and the programme's director can withdraw work."),
    )
    with transaction.atomic():
        Assignment.objects.select_for_update().get(pk=assignment.pk)
        if Attempt.objects.filter(assigned__assignment=assignment).exists():
            raise Refused(_("Somebody has begun this: it stays, and closes when it was to close."))
        assignment.delete()


def _edition(case: Case) -> Edition:
    edition = case.latest_edition()
    if edition is None or case.retired_at is not None:
        raise Refused(_("%(case)s is not open to work: choose another case.") % {"case": case.slug})
    return edition


def _require_window(opens_at: datetime, closes_at: datetime, now: datetime) -> None:
    if closes_at <= opens_at:
        raise Refused(_("It closes before it opens: give a closing time after the opening time."))
    if closes_at <= now:
        raise Refused(_("The closing time is past: give one that is still to come."))
