"""A draft as a student would get it: the very stage pages, from its document and nothing else. Nothing is stored."""

from collections.abc import Callable
from dataclasses import dataclass
from functools import wraps
from typing import Any, cast
from uuid import UUID

from django.http import Http404, HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404
from django.urls import reverse
from django.utils.translation import gettext as _

from assess.grading.grade import GRADED_STAGES
from assess.log import Stage, State
from assess.models import Attempt
from assess.presenting.opening_feedback import opening_feedback
from assess.presenting.standing import STAGE_NAMES, StageMark
from assess.views.desk import Desk
from assess.views.pictures import film_answer
from assess.views.stages import stage_page
from casebank.casefile import Document
from casebank.casefile.readings import film_views
from casebank.models import Case, Draft, Edition, User
from casebank.policies import visible_drafts
from casebank.views import errors
from casebank.views.doors import View, teachers

PREVIEWED = tuple(Stage(stage) for stage in GRADED_STAGES)
SEED = 1  # an attempt draws its own; what differs by it is only the order of what can be cited


@dataclass(frozen=True)
class PreviewDesk(Desk):
    """A draft on the table, with every stage before the one that is looked at committed and nothing answered.

    Its attempt is never stored, and no address of an attempt leads to it.
    """

    draft: Draft

    def may_work_in(self, stage: Stage) -> bool:
        """The page is that of a stage at work; its forms are shown and cannot be sent."""
        return self.state.open_stage is stage

    def address(self, name: str, *args: Any) -> str:
        if name == "film-picture":
            return reverse("preview-film", args=[self.draft.public_id, *args])
        return reverse("preview", args=[self.draft.public_id, name])

    def stage_line(self) -> list[StageMark]:
        marks = super().stage_line()
        return [
            StageMark(mark.key, mark.state, self.address(mark.key) if mark.key in GRADED_STAGES else "")
            for mark in marks
        ]

    def show(self, stage: Stage, template: str, more: dict[str, Any], *, status: int = 200) -> HttpResponse:
        after = PREVIEWED[PREVIEWED.index(stage) + 1 :][:1]
        preview = {
            "draft_url": reverse("draft", args=[self.draft.public_id]),
            "key_url": reverse("draft-key", args=[self.draft.public_id]),
            "next_url": self.address(after[0]) if after else "",
            "next_name": STAGE_NAMES[after[0]] if after else "",
            "opening": opening_feedback(self.document) if stage is Stage.OPEN else None,
        }
        return super().show(stage, template, {"here": "bank", "preview": preview, **more}, status=status)


DraftView = Callable[..., HttpResponse]


def draft_document(view: DraftView) -> View:
    """A view of a draft and its document; 409 in words for one that this program no longer reads as a case."""

    @teachers("GET")
    @wraps(view)
    def with_document(request: HttpRequest, public_id: UUID, **kwargs: Any) -> HttpResponse:
        draft = get_object_or_404(visible_drafts(request.user), public_id=public_id)
        try:
            document = draft.document
        except ValueError:
            link = (reverse("draft", args=[draft.public_id]), _("To the draft"))
            what = _("This draft is no case that can be shown any more; its page says why.")
            return errors.conflict(request, what, _("Correct the file and import it again."), link)
        return view(request, draft, document, **kwargs)

    return with_document


@draft_document
def preview(request: HttpRequest, draft: Draft, document: Document, stage: str) -> HttpResponse:
    if stage not in GRADED_STAGES:
        raise Http404
    return stage_page(preview_desk(request, draft, document, Stage(stage)), Stage(stage))


@draft_document
def preview_film(request: HttpRequest, draft: Draft, document: Document, number: int) -> HttpResponse:
    """A film by its number: those given, and then those that the author names as answering a question."""
    view = film_views(document, None).get(number)
    if view is None:
        raise Http404
    return film_answer(request, document.anatomy, view)


def preview_desk(request: HttpRequest, draft: Draft, document: Document, stage: Stage) -> PreviewDesk:
    edition = Edition(case=Case(slug=draft.slug), content=draft.content, sha256=draft.sha256, title=draft.title)
    attempt = Attempt(edition=edition, student=cast(User, request.user), seed=SEED)
    state = State(closed=PREVIEWED[: PREVIEWED.index(stage)])
    return PreviewDesk(request=request, attempt=attempt, document=document, state=state, draft=draft)
