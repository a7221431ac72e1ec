"""Regrades: drafted, applied, undone, cancelled. What is worked out in between counts nowhere.

A regrade is applied by one change of its state, and undone by another: every reader sees all of it or nothing.
"""

from collections import Counter
from datetime import datetime

from django.db import transaction
from django.db.models import Exists, Max, OuterRef, Q, QuerySet
from django.utils.translation import gettext as _

from assess import policies
from assess.actions.counting import shift
from assess.actions.refusals import Refused
from assess.grading import GRADER_VERSION
from assess.models import (
    OPEN_STATES,
    AssignedCase,
    Attempt,
    Event,
    RegradeBatch,
    Regraded,
    RegradeState,
    StoredGrade,
)
from casebank.models import Case, Edition, Membership, Programme, Role, User
from casebank.policies import require

LONGEST_REASON = 500


def draft_regrade(
    *, edition: Edition, programme: Programme, cut: float | None = None, by: User | None, now: datetime
) -> RegradeBatch:
    """Draft a regrade of a programme's finished attempts at a case under one of its editions; a worker works it out.

    `by` is None for the program itself. Refused says why there is nothing to draft.
    """
    _require_regrader(by, edition.case, programme)
    if cut is not None and not 0 <= cut <= 100:
        raise Refused(_("The line to cross is a percent from 0 to 100."))
    with transaction.atomic():
        Case.objects.select_for_update().get(pk=edition.case_id)
        if RegradeBatch.objects.filter(case=edition.case, programme=programme, state__in=OPEN_STATES).exists():
            raise Refused(_("A regrade of this case is open already: apply it or cancel it first."))
        whole = attempts_to_regrade(edition, programme).count()
        if not whole:
            raise Refused(
                _("Nothing to grade again: every finished attempt stands under edition %(number)d, grader %(grader)d.")
                % {"number": edition.number, "grader": GRADER_VERSION}
            )
        return RegradeBatch.objects.create(
            case=edition.case,
            programme=programme,
            edition=edition,
            newest=_newest(edition.case),
            grader=GRADER_VERSION,
            cut=cut,
            whole=whole,
            drafted_at=now,
            drafted_by=by,
        )


def redraft_regrade(*, batch: RegradeBatch, by: User | None, now: datetime) -> RegradeBatch:
    """Cancel an open regrade and draft it anew, for attempts and editions as they are now."""
    with transaction.atomic():
        cancel_regrade(batch=batch, by=by)
        return draft_regrade(edition=batch.edition, programme=batch.programme, cut=batch.cut, by=by, now=now)


def cancel_regrade(*, batch: RegradeBatch, by: User | None) -> RegradeBatch:
    """Give an open regrade up; its worker stops after the attempts it has in hand."""
    _require_regrader(by, batch.case, batch.programme)
    with transaction.atomic():
        batch = _locked(batch)
        if not batch.is_open:
            raise Refused(
                _("This regrade is %(state)s: it cannot be cancelled.") % {"state": batch.get_state_display()}
            )
        batch.state = RegradeState.CANCELLED
        batch.save(update_fields=["state"])
        return batch


def apply_regrade(*, batch: RegradeBatch, reason: str, by: User | None, now: datetime) -> RegradeBatch:
    """Make a regrade's grades stand. Refused if what it was worked out from has changed; then nothing stands anew."""
    _require_regrader(by, batch.case, batch.programme)
    reason = _reason(reason)
    with transaction.atomic():
        batch = _locked(batch)
        if batch.state != RegradeState.READY:
            raise Refused(_("This regrade is %(state)s: it cannot be applied.") % {"state": batch.get_state_display()})
        if trouble := out_of_date(batch):
            raise Refused(trouble)
        last = RegradeBatch.objects.filter(case=batch.case).aggregate(last=Max("turn"))["last"] or 0
        batch.state, batch.turn = RegradeState.APPLIED, last + 1
        batch.reason, batch.applied_at, batch.applied_by = reason, now, by
        batch.save()
        _shift_tallies(batch, 1)
        return batch


def undo_regrade(*, batch: RegradeBatch, reason: str, by: User | None, now: datetime) -> RegradeBatch:
    """Make the former grades stand again, as they were to the last bit."""
    _require_regrader(by, batch.case, batch.programme)
    reason = _reason(reason)
    with transaction.atomic():
        batch = _locked(batch)
        if batch.state != RegradeState.APPLIED:
            raise Refused(_("This regrade is %(state)s: it cannot be undone.") % {"state": batch.get_state_display()})
        later = Regraded.objects.filter(
            attempt=OuterRef("attempt"),
            grade__isnull=False,
            batch__state=RegradeState.APPLIED,
            batch__turn__gt=batch.turn,
        )
        if batch.regraded.filter(Exists(later)).exists():
            raise Refused(_("A later regrade stands on this one: undo the later one first."))
        batch.state = RegradeState.UNDONE
        batch.undo_reason, batch.undone_at, batch.undone_by = reason, now, by
        batch.save()
        _shift_tallies(batch, -1)
        return batch


def attempts_to_regrade(edition: Edition, programme: Programme) -> QuerySet[Attempt]:
    """Finished attempts of a programme whose standing grade is of another edition or grader.

    Graded and set work by its cohort; practice of a student's own if they learn in the programme. What was worked on a
    later edition than this is left alone.
    """
    learns = Membership.objects.filter(programme=programme, role=Role.STUDENT, user=OuterRef("student"))
    there = StoredGrade.objects.standing().filter(
        attempt=OuterRef("pk"), edition_sha256=edition.sha256, grader=GRADER_VERSION
    )
    return Attempt.objects.filter(
        Q(assigned__assignment__cohort__programme=programme) | Q(Exists(learns), assigned=None),
        Exists(StoredGrade.objects.filter(attempt=OuterRef("pk"))),
        ~Exists(there),
        edition__case=edition.case_id,
        edition__number__lte=edition.number,
    ).order_by("pk")


def out_of_date(batch: RegradeBatch) -> str:
    """Why a preview no longer holds; empty if it does."""
    if batch.grader != GRADER_VERSION:
        return _("The grader has changed since this was worked out: work it out again.")
    if batch.newest != _newest(batch.case):
        return _(
            "A further edition was published since this was worked out: work it out again, under that one or this."
        )
    standing = StoredGrade.objects.standing().filter(pk=OuterRef("former"))
    further = Event.objects.filter(attempt=OuterRef("attempt"), seq__gt=OuterRef("former__events"))
    if batch.regraded.filter(~Exists(standing) | Exists(further)).exists():
        return _("Some of these attempts were graded again meanwhile: work it out again.")
    listed = Regraded.objects.filter(batch=batch, attempt=OuterRef("pk"))
    if attempts_to_regrade(batch.edition, batch.programme).filter(~Exists(listed)).exists():
        return _("Further attempts were finished since this was worked out: work it out again.")
    return ""


def _shift_tallies(batch: RegradeBatch, way: int) -> None:
    """Move the tallies of every assigned case as the batch moves its attempts; way is -1 for the way back."""
    moved = batch.regraded.filter(grade__isnull=False, attempt__assigned__isnull=False)
    items: dict[int, Counter[tuple[str, str]]] = {}
    rules: dict[int, Counter[str]] = {}
    for key, moves in moved.values_list("attempt__assigned", "moved").iterator():
        for item, (before, after) in moves["items"].items():
            of_case = items.setdefault(key, Counter())
            of_case.update({(item, before): -way} if before else {})
            of_case.update({(item, after): way} if after else {})
        steps = rules.setdefault(key, Counter())
        steps.update(dict.fromkeys(moves["gained"], way))
        steps.update(dict.fromkeys(moves["lost"], -way))
    for assigned in AssignedCase.objects.filter(pk__in=items.keys() | rules.keys()).order_by("pk"):
        shift(assigned, items.get(assigned.pk, {}), rules.get(assigned.pk, {}))


def _require_regrader(by: User | None, case: Case, programme: Programme) -> None:
    allowed = by is None or policies.may_regrade(by, case, programme)
    require(allowed, _("Only the programme's director and whoever published the case there can grade it again."))


def _reason(reason: str) -> str:
    reason = " ".join(reason.split())
    if not reason:
        raise Refused(_("Give the reason: students read it beside their grade."))
    if len(reason) > LONGEST_REASON:
        raise Refused(_("The reason has at most %(most)d characters: shorten it.") % {"most": LONGEST_REASON})
    return reason


def _newest(case: Case) -> int:
    return int(case.editions.aggregate(newest=Max("number"))["newest"])


def _locked(batch: RegradeBatch) -> RegradeBatch:
    """The batch, held until the transaction ends; the case first, so that two regrades of it come one by one."""
    Case.objects.select_for_update().get(pk=batch.case_id)
    related = RegradeBatch.objects.select_related("case", "programme", "edition")
    return related.select_for_update(of=("self",)).get(pk=batch.pk)
