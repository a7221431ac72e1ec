"""What a student reads of a grade that stands by a regrade: when, under which edition, why, and what it was before."""

from django.utils.translation import gettext as _

from assess.models import StoredGrade

STILL = 1e-9  # percent


def graded_again(grade: StoredGrade) -> str:
    """One sentence for a standing grade that a regrade made stand; empty for the grade an attempt got first."""
    entry = (
        grade.attempt.regraded.filter(grade=grade, batch__state="applied")
        .select_related("batch__edition", "former")
        .order_by("-batch__turn")
        .first()
    )
    if entry is None or entry.batch.applied_at is None:
        return ""
    said = {
        "when": f"{entry.batch.applied_at:%Y-%m-%d}",
        "number": entry.batch.edition.number,
        "reason": entry.batch.reason.rstrip("."),
        "before": f"{entry.former.percent:.0f}",
    }
    if abs(grade.percent - entry.former.percent) <= STILL:
        return (
            _("Graded again on %(when)s under edition %(number)d because: %(reason)s. It stays at %(before)s %%.")
            % said
        )
    return _("Graded again on %(when)s under edition %(number)d because: %(reason)s. Before: %(before)s %%.") % said
