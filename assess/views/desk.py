"""What every page of an attempt starts from: the attempt found among the reader's own, its document and its state."""

from collections.abc import Callable
from dataclasses import dataclass, replace
from functools import wraps
from typing import Any, cast
from uuid import UUID, uuid4

from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, render
from django.urls import reverse
from django.utils import timezone
from django.utils.translation import gettext as _

from assess import policies
from assess.actions import Refused, StageClosed
from assess.log import Stage, State
from assess.models import Attempt
from assess.presenting.assigned import SetWork, set_work
from assess.presenting.films import RECEPTOR, Shown, at, films_of, views_of
from assess.presenting.naming import tooth_words
from assess.presenting.standing import STAGE_NAMES, StageMark, is_carried_on, standing
from casebank.casefile import Document
from casebank.films import film_is_kept
from casebank.models import User
from casebank.views import errors
from casebank.views.doors import View, members


@dataclass(frozen=True)
class Desk:
    """One attempt on the table, as it stands now."""

    request: HttpRequest
    attempt: Attempt
    document: Document
    state: State

    @property
    def user(self) -> User:
        return cast(User, self.request.user)

    def may_work_in(self, stage: Stage) -> bool:
        """Whether the reader may still add to a stage."""
        may_work = policies.may_work(self.user, self.attempt) and self.attempt.is_open(timezone.now())
        return self.state.open_stage is stage and may_work

    @property
    def reading(self) -> str:
        """Whose attempt the reader reads without working on it: the student's account name; empty for the student."""
        return "" if self.attempt.student_id == self.user.pk else self.attempt.student.username

    def set_work(self) -> SetWork | None:
        """The assignment that the attempt answers; none for practice of the student's own."""
        return set_work(self.attempt.assigned.assignment, timezone.now()) if self.attempt.assigned else None

    def kept_words(self) -> str:
        """When results open that an assignment keeps from its students for now."""
        assigned = self.set_work()
        return _("Results open on %(moment)s.") % {"moment": assigned.closes if assigned else ""}

    def address(self, name: str, *args: Any) -> str:
        return reverse(name, args=[self.attempt.public_id, *args])

    def films(self) -> tuple[Shown, ...]:
        return tuple(
            at(film, self.address("film-picture", film.number)) for film in films_of(self.document, self.state)
        )

    def quickly(self, film: Shown) -> Shown:
        """A film with a picture for the wait, where it has still to be rendered."""
        view = views_of(self.document, self.state)[film.number]
        if film_is_kept(self.document.anatomy, view, RECEPTOR):
            return film
        return replace(film, quick_url=f"{film.picture_url}?quick")

    def way_on(self) -> tuple[str, str]:
        """Where the work goes on: an address and its words."""
        stage = self.state.open_stage or Stage.COMPARE
        words = _("Go on with %(stage)s") if stage is Stage.COMPARE or self.may_work_in(stage) else _("Read %(stage)s")
        return self.address(stage.value), words % {"stage": STAGE_NAMES[stage]}

    def what_now(self) -> str:
        """What to do where something cannot be done now."""
        if self.reading or not self.attempt.is_open(timezone.now()):
            return _("What was answered stays as it is and can be read.")
        return _("Go on with the stage that is open; what is committed can be read again.")

    def stage_line(self) -> list[StageMark]:
        """Every stage, with an address where it can be read."""
        marks = [(stage, standing(self.state, stage)) for stage in Stage]
        return [
            StageMark(stage.value, how, self.address(stage.value) if how != "later" else "") for stage, how in marks
        ]

    def show(self, stage: Stage, template: str, more: dict[str, Any], *, status: int = 200) -> HttpResponse:
        """A page of the attempt with what all of them carry."""
        tooth = self.document.anatomy.tooth.number
        context = {
            "attempt": self.attempt,
            "key": uuid4().hex[:16],
            "here": "",
            "title": self.document.title,
            "patient": self.document.patient,
            "tooth": tooth,
            "tooth_words": tooth_words(tooth),
            "stage": stage.value,
            "stage_name": STAGE_NAMES[stage],
            "stages": self.stage_line(),
            "look_url": self.address(Stage.LOOK),
            "at_work": self.may_work_in(stage),
            "carried_on": is_carried_on(self.state),
            "set_work": self.set_work(),
            "reading": self.reading,
            "volume_asked": self.state.volume is not None,
        }
        return render(self.request, template, {**context, **more}, status=status)


def desk(*methods: str) -> Callable[[View], View]:
    """A view of one attempt: members only, these methods only, 404 for an attempt that is not the reader's.

    What an action refuses becomes a page: 409 for a stage that is not open, 400 for what cannot be stored.
    """

    def around(view: View) -> View:
        @members(*methods)
        @wraps(view)
        def at_desk(request: HttpRequest, public_id: UUID, **kwargs: Any) -> HttpResponse:
            mine = policies.readable_attempts(request.user).with_case()
            attempt = get_object_or_404(mine, public_id=public_id)
            table = Desk(request, attempt, attempt.edition.document, attempt.state())
            try:
                return view(table, **kwargs)
            except StageClosed as closed:
                return errors.conflict(request, str(closed), table.what_now(), table.way_on())
            except Refused as refused:
                return errors.refused(request, str(refused), table.way_on())

        return at_desk

    return around


def require_begun(desk: Desk, stage: Stage) -> None:
    """StageClosed, in words, if a stage is not open yet."""
    if standing(desk.state, stage) == "later":
        now = desk.state.open_stage
        raise StageClosed(
            _("%(stage)s opens when %(open)s is committed.")
            % {"stage": STAGE_NAMES[stage], "open": STAGE_NAMES[now] if now else ""}
        )


def require_results(desk: Desk, sentence: str) -> None:
    """StageClosed, in words, as long as results may not be seen."""
    now = timezone.now()
    if not policies.may_see_results(desk.user, desk.attempt, desk.state, now=now):
        if desk.state.is_settled and policies.is_kept_back(desk.attempt, now):
            raise StageClosed(desk.kept_words())
        raise StageClosed(sentence)
