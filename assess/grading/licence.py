"""Whether to treat, within what the school lets the student's own year plan: the more cautious of two keys counts.

What the school's rule was stands in the answer itself, so that a grade still follows from document and log alone.
"""

from dataclasses import dataclass

from assess.grading.words import in_words
from assess.log import Answer, Chose, State
from casebank.casefile import Reference
from casebank.instruments.unsafe_table import UnsafeRule
from casebank.rubric import LIMITS, ChoiceReference, ChoiceRule, Criterion, Licence, Limit, Task, more_cautious
from casebank.rubric import Reference as Expected

DECISION_AXIS = "decision"
BEYOND_LICENCE = "beyond-licence"
LETS: dict[Limit, str] = {
    "treat": "may be treated with the usual check by the supervisor",
    "supervised": "may be treated only with a supervisor at the chair throughout",
    "refer": "is referred",
}


@dataclass(frozen=True)
class Ruling:
    """The reference that results, what is said of the school's rule, and whether that rule made the reference."""

    reference: Expected
    why: str = ""
    decides: bool = False


def within_licence(criterion: Criterion) -> bool:
    """Whether a task asks what may be planned within the licence of the student's own year."""
    rule = criterion.rule
    plans = isinstance(rule, ChoiceRule) and rule.options != "case" and set(LIMITS) <= set(rule.options)
    return plans and criterion.axis == DECISION_AXIS


def ruling(task: Task, keyed: Expected, reference: Reference, answer: Answer | None) -> Ruling:
    """The author's key of a task, brought up to the licence the answer was given under.

    A key that no root treatment is needed stays as it is: who treats is not asked there. Where the licence makes the
    reference, only the rubric's own shares are partly right; the author's were given for another key.
    """
    licence = _licence(task.criterion, answer)
    if licence is None or not isinstance(keyed, ChoiceReference) or not keyed.best & set(LIMITS):
        return Ruling(keyed)
    limit = _limit(licence, reference)
    best = frozenset(more_cautious(option, limit) for option in keyed.best)
    rule = _rule_in_words(licence, limit, reference)
    if best == keyed.best:
        return Ruling(keyed, f"{rule} The author's key is no less cautious, so it stays the reference.")
    return Ruling(
        ChoiceReference(best),
        f"{rule} The author's key, '{in_words(task, keyed)}', is less cautious, so the rule is the reference.",
        decides=True,
    )


def beyond_licence(rule: UnsafeRule, reference: Reference, state: State) -> str:
    """Why a plan lies so far beyond the licence that it is unsafe; empty if it does not, or the author says so."""
    task = next((task for task in reference.tasks if task.id == rule.task), None)
    answer = state.answers.get(rule.task)
    licence = _licence(task.criterion, answer) if task else None
    if licence is None or not isinstance(answer, Chose) or _limit(licence, reference) != "refer":
        return ""
    too_far = set(answer.values) & set(rule.options) - set(reference.answers[rule.task].unsafe)
    return f"Treatment alone was planned. {_rule_in_words(licence, 'refer', reference)}" if too_far else ""


def _licence(criterion: Criterion, answer: Answer | None) -> Licence | None:
    return answer.licence if isinstance(answer, Chose) and within_licence(criterion) else None


def _limit(licence: Licence, reference: Reference) -> Limit:
    return licence.at(reference.judgement.overall.level, of=len(reference.criteria.levels))


def _rule_in_words(licence: Licence, limit: Limit, reference: Reference) -> str:
    word = reference.judgement.overall.word
    return f"The school's rule for year {licence.year}: a case judged {word}, as this one is, {LETS[limit]}."
