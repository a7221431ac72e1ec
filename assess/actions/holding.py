"""What every act in an attempt begins with: whose it is, its row held, and what is said where a stage is not open."""

from django.utils.translation import gettext as _

from assess import policies
from assess.log import Stage, State
from assess.models import Attempt
from casebank.models import User
from casebank.policies import require


def require_worker(by: User, attempt: Attempt) -> None:
    require(policies.may_work(by, attempt), _("Only the student who started this attempt can work on it."))


def locked(attempt: Attempt) -> Attempt:
    """The attempt, held until the transaction ends; on SQLite the whole database is held from its beginning."""
    return Attempt.objects.with_case().select_for_update(of=("self",)).get(pk=attempt.pk)


def not_open_yet(stage: Stage, state: State) -> str:
    if state.open_stage is None:
        return _("The whole case is committed: nothing more can be stored in it.")
    return _("%(stage)s opens when %(open)s is committed.") % {"stage": stage.label, "open": state.open_stage.label}
