"""A tutor marks a reason that was written in graded work. No grade changes by it."""

from collections.abc import Sequence
from datetime import datetime

from django.db import transaction
from django.utils.translation import gettext as _

from assess import policies
from assess.actions.holding import locked
from assess.actions.refusals import Refused
from assess.grading import AnswerRefused
from assess.grading.fits import require_fit
from assess.log import MarkedOwn
from assess.models import Attempt, WordsMarked
from casebank.models import User
from casebank.policies import require


def mark_words(*, attempt: Attempt, task: str, met: Sequence[str], by: User, now: datetime) -> WordsMarked:
    """Store which lines a tutor found met. Marks given anew stand in place of those before, which are kept.

    The same marks by the same tutor again return those that stand.
    """
    require(policies.may_mark_words(by, attempt), _("Only a tutor of the cohort marks words, once they are settled."))
    with transaction.atomic():
        attempt = locked(attempt)
        state = attempt.state()
        if task not in state.written:
            raise Refused(_("No such reason was written here: load the page again."))
        try:
            said = MarkedOwn(seq=state.events + 1, case=attempt.edition.document.slug, task=task, met=tuple(met))
            require_fit(attempt.edition.document, state, said)
        except ValueError as trouble:
            words = str(trouble) if isinstance(trouble, AnswerRefused) else _("Mark the lines that are on the page.")
            raise Refused(words) from trouble
        last = attempt.words_marked.filter(task=task).order_by("-turn").first()
        if last is not None and last.marked_by_id == by.pk and set(last.met) == set(said.met):
            return last
        return WordsMarked.objects.create(
            attempt=attempt,
            task=task,
            turn=last.turn + 1 if last else 1,
            met=list(said.met),
            marked_by=by,
            marked_at=now,
        )
