"""Every unsafe step of an attempt: unsafe answers, acts at the bench, and harm that was not disclosed."""

from collections.abc import Iterator
from dataclasses import dataclass

from assess.grading.licence import BEYOND_LICENCE, beyond_licence
from assess.log import Chose, Stage, State
from casebank.casefile import Document, Reference
from casebank.instruments import Bench, unsafe_in
from casebank.instruments import UnsafeStep as UnsafeAct
from casebank.instruments.author_rules import AUTHOR, broken_rules
from casebank.instruments.unsafe import harmed
from casebank.instruments.unsafe_table import UNSAFE_RULES
from casebank.rubric import ChoiceReference, ChoiceRule, Criterion, OrderRule, OrderSaid, unsafe_at_first

NOT_DISCLOSED = "harm-not-disclosed"
IN_FILL = frozenset({"fill-beyond-foramen"})
AT_FIRST = ".first"
"""What the rule of an unsafe step ends with, after the task, where something unsafe was put first."""


@dataclass(frozen=True)
class UnsafeStep:
    """An act that would endanger a patient; it stands apart from the score."""

    rule: str
    stage: str
    where: str
    why: str
    basis: str


def unsafe_of(document: Document, reference: Reference, state: State, bench: Bench) -> tuple[UnsafeStep, ...]:
    """Unsafe steps of an attempt: answers first, then the bench in the order of its moves, then what was kept quiet."""
    acts = sorted((*unsafe_in(bench), *broken_rules(bench, document.bench_rules)), key=lambda act: act.step_number)
    return (
        *_keyed_unsafe(reference, state),
        *_unsafe_first(reference, state),
        *_unsafe_by_table(reference, state),
        *_beyond_licence(reference, state),
        *(_at_the_bench(act, bench) for act in acts),
        *_not_disclosed(reference, state, bench),
    )


def _keyed_unsafe(reference: Reference, state: State) -> Iterator[UnsafeStep]:
    """Options that the case's author calls unsafe."""
    for task in reference.tasks:
        said, unsafe = state.answers.get(task.id), reference.answers[task.id].unsafe
        if isinstance(said, Chose):
            for option in said.values:
                if option in unsafe:
                    yield UnsafeStep(task.id, task.criterion.stage, task.criterion.label, unsafe[option], AUTHOR)


def _unsafe_first(reference: Reference, state: State) -> Iterator[UnsafeStep]:
    """What was put first in an order though it would endanger a patient there."""
    for task in reference.tasks:
        criterion, said = task.criterion, state.answers.get(task.id)
        if not isinstance(criterion.rule, OrderRule) or not isinstance(said, Chose):
            continue
        item = unsafe_at_first(criterion.rule, OrderSaid(said.values))
        if item is not None:
            why = f"Put first: {criterion.rule.items[item].rstrip('.')}. {criterion.rule.unsafe_first[item]}"
            yield UnsafeStep(f"{task.id}{AT_FIRST}", criterion.stage, criterion.label, why, criterion.reasons.source)


def _unsafe_by_table(reference: Reference, state: State) -> Iterator[UnsafeStep]:
    """Options that are unsafe in every case, unless the author keyed them, as fitting or as unsafe."""
    for rule in UNSAFE_RULES.values():
        criterion = _criterion(reference, rule.task)
        said = state.answers.get(rule.task)
        if criterion is None or rule.id in (NOT_DISCLOSED, BEYOND_LICENCE) or not isinstance(said, Chose):
            continue
        answer = reference.answers[rule.task]
        keyed = set(answer.unsafe)
        if isinstance(answer.value, ChoiceReference):
            keyed |= {*answer.value.best, *answer.value.partly}
        for option in said.values:
            if option in rule.options and option not in keyed:
                why = f"{criterion.label}: {_wording(criterion, option)}. {rule.reason}"
                yield UnsafeStep(rule.id, criterion.stage, criterion.label, why, rule.rests_on)


def _beyond_licence(reference: Reference, state: State) -> Iterator[UnsafeStep]:
    """Treatment alone that the student's licence leaves to a referral, unless the author calls it unsafe already."""
    rule = UNSAFE_RULES[BEYOND_LICENCE]
    criterion = _criterion(reference, rule.task)
    if criterion is None or not (why := beyond_licence(rule, reference, state)):
        return
    yield UnsafeStep(rule.id, criterion.stage, criterion.label, f"{why} {rule.reason}", rule.rests_on)


def _at_the_bench(act: UnsafeAct, bench: Bench) -> UnsafeStep:
    canal = bench.record[act.step_number - 1].canal
    often = f" {act.times} times in all." if act.times > 1 else ""
    return UnsafeStep(
        rule=act.rule,
        stage="fill" if act.rule in IN_FILL else "shape",
        where=f"canal {canal}, move {act.step_number}",
        why=f"{act.sentence}{often} {act.reason}".strip(),
        basis=act.basis,
    )


def _not_disclosed(reference: Reference, state: State, bench: Bench) -> Iterator[UnsafeStep]:
    """A separated instrument or a perforation that nobody was to be told of, where the rubric asks whom to tell.

    Judged once Fill is committed: until then it can still be said. A rubric that does not ask holds nobody to it.
    """
    rule, steps = UNSAFE_RULES[NOT_DISCLOSED], harmed(bench)
    criterion = _criterion(reference, rule.task)
    if criterion is None or not steps or Stage(criterion.stage) not in state.closed:
        return
    said = state.answers.get(rule.task)
    told = isinstance(said, Chose) and not set(said.values) & set(rule.options)
    if not told:
        first = steps[0]
        yield UnsafeStep(
            rule=rule.id,
            stage=criterion.stage,
            where=f"canal {first.canal}, move {first.number}",
            why=f"What happened in canal {first.canal} at move {first.number} was to be told to nobody. {rule.reason}",
            basis=rule.rests_on,
        )


def _criterion(reference: Reference, name: str) -> Criterion | None:
    return next((criterion for criterion in reference.rubric.criteria if criterion.id == name), None)


def _wording(criterion: Criterion, option: str) -> str:
    rule = criterion.rule
    return rule.wording(option).rstrip(".") if isinstance(rule, ChoiceRule) else option
