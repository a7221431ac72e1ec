"""Attempts: begun, added to event by event, and closed stage by stage."""

import json
import secrets
import zoneinfo
from collections.abc import Mapping
from datetime import datetime
from typing import Any

from django.db import transaction
from django.utils.formats import date_format
from django.utils.translation import gettext as _
from pydantic import ValidationError

from assess import policies
from assess.actions.holding import locked, not_open_yet, require_worker
from assess.actions.licensing import as_sent, under_licence
from assess.actions.refusals import Refused, StageClosed
from assess.grading import AnswerRefused
from assess.grading.fits import require_fit
from assess.log import AnyEvent, Asked, Committed, OutOfTurn, Stage, State, VolumeAsked, step
from assess.models import AssignedCase, Assignment, Attempt, Event, store
from assess.models.event import EVENT, LONGEST_KEY
from casebank.casefile.reading import explain
from casebank.models import Case, User
from casebank.policies import require

RECORDED = ("asked", "film", "volume", "chose", "measured", "marked", "outlined", "wrote", "levelled", "moved")
LONGEST_PAYLOAD = 8000
MOST_EVENTS = 3000
SEED_BITS = 31  # the most that the column holds on every database


def start_attempt(*, case: Case, by: User, now: datetime) -> Attempt:
    """The student's unfinished attempt on the case's latest edition, or a new one."""
    require(policies.may_start(by, case), _("Only a student can start this case, and only while it is open."))
    with transaction.atomic():
        _one_at_a_time(by)
        edition = case.latest_edition()
        if edition is None:
            raise Refused(_("This case has no edition yet: take another."))
        unfinished = Attempt.objects.unfinished().filter(edition=edition, student=by, assigned=None).first()
        if unfinished is None:
            _require_free(by, case, now)
        return unfinished or Attempt.objects.create(
            edition=edition, student=by, started_at=now, seed=secrets.randbits(SEED_BITS)
        )


def start_assigned(*, assigned: AssignedCase, by: User, now: datetime) -> Attempt:
    """The student's attempt at an assigned case: the one they have, or a new one while the assignment is open."""
    require(policies.may_start_assigned(by, assigned), _("Only a student of this cohort can work on this."))
    assignment = assigned.assignment
    with transaction.atomic():
        _one_at_a_time(by)
        begun = Attempt.objects.filter(assigned=assigned, student=by).first()
        if begun is not None:
            return begun
        if not assignment.is_open(now):
            raise Refused(_closed(assignment) if assignment.has_closed(now) else _("This has not opened yet."))
        if not assignment.is_graded:
            _require_free(by, assigned.edition.case, now)
        return Attempt.objects.create(
            edition=assigned.edition,
            assigned=assigned,
            student=by,
            started_at=now,
            seed=secrets.randbits(SEED_BITS),
        )


def record(*, attempt: Attempt, event: str, fields: Mapping[str, Any], by: User, now: datetime, key: str = "") -> Event:
    """Store one event, by the log's name for it and its fields as JSON has them.

    The licence that a plan is made under is added here, as it stands now; no page may send one.

    The same key again returns the first event, whatever has happened since; so does asking for a finding or for the
    volume again. Refused says in one sentence why an event cannot be stored.
    """
    require_worker(by, attempt)
    if len(key) > LONGEST_KEY or not key.isascii() or not (key == "" or key.isprintable()):
        raise Refused(_("The key of a submission has at most %(most)d plain characters.") % {"most": LONGEST_KEY})
    with transaction.atomic():
        attempt = locked(attempt)
        _require_time(attempt, now)
        state = attempt.state()
        new = _event(event, fields, state, attempt)
        first = attempt.events.filter(key=key).first() if key else None
        if first:
            if as_sent(first.event).model_copy(update={"seq": new.seq}) != new:
                raise Refused(_("This was sent once before with other content: reload the page and send it anew."))
            return first
        if isinstance(new, Asked) and new.finding in state.asked:
            return next(stored for stored in attempt.events.filter(kind="asked").order_by("seq") if _asks(stored, new))
        if isinstance(new, VolumeAsked) and state.volume is not None:
            return attempt.events.get(kind="volume")
        _require_turn(state, new)
        try:
            require_fit(attempt.edition.document, state, new)
        except AnswerRefused as trouble:
            raise Refused(str(trouble)) from trouble
        return store(attempt=attempt, event=under_licence(new, attempt), at=now, key=key)


def commit_stage(*, attempt: Attempt, stage: Stage, by: User, now: datetime) -> Event:
    """Close one stage for good. A repeat of the same commit returns the first event; nothing is stored twice."""
    require_worker(by, attempt)
    with transaction.atomic():
        attempt = locked(attempt)
        state = attempt.state()
        if stage in state.closed:
            return attempt.events.filter(kind="committed").order_by("seq")[state.closed.index(stage)]
        _require_time(attempt, now)
        if stage is not state.open_stage:
            raise StageClosed(not_open_yet(stage, state))
        if stage is Stage.COMPARE:
            raise StageClosed(_("Compare is closed by your own estimate of each stage: give it first."))
        closing = Committed(seq=state.events + 1, case=attempt.edition.document.slug, stage=stage)
        return store(attempt=attempt, event=closing, at=now)


def _one_at_a_time(by: User) -> None:
    """Two starts of one student at once wait for each other here."""
    User.objects.select_for_update().get(pk=by.pk)


def _require_free(by: User, case: Case, now: datetime) -> None:
    """Refused while a graded assignment keeps the case to itself."""
    if keeper := policies.held_back_by(by, case, now):
        raise Refused(_("This case is set as graded work in “%(title)s”: work it there.") % {"title": keeper.title})


def _require_time(attempt: Attempt, now: datetime) -> None:
    if attempt.assigned and not attempt.is_open(now):
        raise StageClosed(_closed(attempt.assigned.assignment))


def _closed(assignment: Assignment) -> str:
    zone = zoneinfo.ZoneInfo(assignment.cohort.programme.time_zone)
    closed = date_format(assignment.closes_at.astimezone(zone), "DATETIME_FORMAT")
    return _("This closed on %(moment)s: nothing more can be added to it.") % {"moment": closed}


def _event(name: str, fields: Mapping[str, Any], state: State, attempt: Attempt) -> AnyEvent:
    """The event that was meant, as the log has it."""
    if name not in RECORDED or {"event", "seq", "case", "licence"} & set(fields):
        raise Refused(_("This cannot be stored in an attempt: reload the page and try again."))
    if state.events >= MOST_EVENTS:
        raise Refused(_("This attempt has %(most)d entries: commit the stage and go on.") % {"most": MOST_EVENTS})
    said = {**fields, "event": name, "seq": state.events + 1, "case": attempt.edition.document.slug}
    try:
        content = json.dumps(said, allow_nan=False, ensure_ascii=False).encode()
    except (TypeError, ValueError, RecursionError) as trouble:
        raise Refused(_("This cannot be read: give text and finite numbers.")) from trouble
    if len(content) > LONGEST_PAYLOAD:
        raise Refused(_("This is too long to be stored: shorten it."))
    try:
        return EVENT.validate_json(content)
    except ValidationError as trouble:
        raise Refused(explain(trouble, json.loads(content))[0]) from trouble


def _asks(stored: Event, asked: Asked) -> bool:
    event = stored.event
    return isinstance(event, Asked) and event.finding == asked.finding


def _require_turn(state: State, event: AnyEvent) -> None:
    try:
        step(state, event, case=event.case)
    except OutOfTurn as trouble:
        if state.open_stage is None:
            raise StageClosed(_("The whole case is committed: nothing more can be stored in it.")) from trouble
        raise StageClosed(
            _("%(open)s is open now, and this belongs to another stage: nothing was stored.")
            % {"open": state.open_stage.label}
        ) from trouble
