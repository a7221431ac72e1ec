"""How a case is scored, said before it is begun: read off the rubric itself, so that it cannot drift from it."""

from dataclasses import dataclass

from django.utils.translation import gettext as _

from assess.grading.confidence import RIGHT_FROM
from assess.presenting.axes import AXIS_NAMES
from assess.presenting.sureness import StepRule, step_rules
from casebank.casefile import Document
from casebank.rubric import MAIN_AXIS, ChoiceRule, Criterion, LevelRule, MarkRule, OrderRule, bundled


@dataclass(frozen=True)
class ScoringRule:
    """The rule of a case.

    Attributes
    ----------
    takes_off : tuple of str
        Tasks in which something wrong is taken off again, each with what and how much.
    orders : int
        Percent of the pairs that may stand the other way round before an order earns nothing; none where none is asked.
    apart : tuple of str
        Axes that are never merged into the score.
    evidence : str
        What becomes of a level without its finding or film; empty where no level is asked.
    confidence : tuple of StepRule
    right_from : int
        Percent of the credit from which an answer counts as right for the confidence.
    """

    takes_off: tuple[str, ...]
    orders: int | None
    apart: tuple[str, ...]
    evidence: str
    confidence: tuple[StepRule, ...]
    right_from: int


def scoring_rule(document: Document) -> ScoringRule:
    """The rule of a case's rubric. It needs no reference."""
    rubric = bundled(document.rubric)
    criteria = rubric.criteria
    none_from = {one.rule.none_from for one in criteria if isinstance(one.rule, OrderRule)}
    shares = {one.rule.without_evidence for one in criteria if isinstance(one.rule, LevelRule)}
    return ScoringRule(
        takes_off=tuple(sentence for one in criteria if (sentence := _taken_off(one))),
        orders=round(100 * min(none_from)) if none_from else None,
        apart=tuple(str(AXIS_NAMES[axis]) for axis in rubric.axes if axis != MAIN_AXIS),
        evidence=_without_evidence(min(shares)) if shares else "",
        confidence=step_rules(),
        right_from=round(100 * RIGHT_FROM),
    )


def _taken_off(criterion: Criterion) -> str:
    match criterion.rule:
        case ChoiceRule(most=most) if most > 1:
            return _("%(task)s: a pick that does not belong takes one that does off again.") % {"task": criterion.label}
        case MarkRule(false_mark_cost=cost):
            return _("%(task)s: each mark that hits nothing takes off %(percent)d %% of the task.") % {
                "task": criterion.label,
                "percent": round(100 * cost),
            }
    return ""


def _without_evidence(share: float) -> str:
    return _("A level without a finding or film that it rests on keeps %(percent)d %% of its credit.") % {
        "percent": round(100 * share)
    }
