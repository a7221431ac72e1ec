"""How an answer is compared with its reference: one function per kind, found by the kind's name.

Every sentence names what was said, what the reference is and how far apart they lie. It speaks of the reference, never
of right treatment: a reference belongs to one case and one rubric.
"""

from collections.abc import Callable, Mapping
from dataclasses import dataclass

from casebank.rubric.answers import (
    BenchReference,
    BenchSaid,
    ChoiceReference,
    ChoiceSaid,
    LevelReference,
    LevelSaid,
    MarkReference,
    MarkSaid,
    MeasureReference,
    MeasureSaid,
    Reference,
    Said,
)
from casebank.rubric.criterion import Criterion
from casebank.rubric.marks import pair
from casebank.rubric.opening import OutlineReference, OutlineRule, OutlineSaid, outline
from casebank.rubric.ordering import OrderReference, OrderRule, OrderSaid, order, require_every_item
from casebank.rubric.phrases import counted, joined, percent
from casebank.rubric.reason import WrittenReference, WrittenRule, WrittenSaid, require_lines, written
from casebank.rubric.rules import BenchRule, ChoiceRule, LevelRule, MarkRule, MeasureRule
from casebank.rubric.verdict import Verdict

ROUNDING = 1e-9  # a reading at the very edge of its tolerance agrees, however its difference is rounded


def level(rule: LevelRule, said: LevelSaid, reference: LevelReference) -> Verdict:
    """Credit by steps between the levels, cut when no pin of the reference's evidence is cited."""
    steps = said.level - reference.level
    given, meant = rule.words[said.level - 1], rule.words[reference.level - 1]
    if steps == 0:
        credit, sentences = 1.0, [f"You said {given}, as the reference does."]
    else:
        credit = rule.two_steps if abs(steps) > 1 else rule.one_over if steps > 0 else rule.one_under
        distance = f"{'one step' if abs(steps) == 1 else 'two steps'} {'above' if steps > 0 else 'below'}"
        sentences = [f"You said {given}, {distance} the reference {meant}: {percent(credit)} of the credit."]
    if steps < 0 < credit:
        sentences.append("A level too low costs more in this rubric than one too high.")
    if reference.evidence and (fault := _evidence_fault(rule, said, reference)):
        sentences.append(f"{fault}, so {percent(rule.without_evidence)} of that stands." if credit else f"{fault}.")
        credit *= rule.without_evidence
    return Verdict(credit, " ".join(sentences), leaning=_sign(steps))


def choice(rule: ChoiceRule, said: ChoiceSaid, reference: ChoiceReference) -> Verdict:
    """(what agrees - what does not) / what was needed, never below 0."""
    picks = (said,) if isinstance(said, str) else said
    for option in (*sorted(reference.best), *reference.partly):
        _must_be_option(rule, option, "the reference names")
    shares = {pick: _share(rule, pick, reference) for pick in picks}
    agreeing = sum(share for share in shares.values() if share is not None)
    wrong = sum(share is None for share in shares.values())
    needed = min(len(reference.best), rule.most)
    credit = min(1.0, max(0.0, (agreeing - wrong) / needed))
    leaning = 0 if credit == 1 else _caution(rule, picks, reference)
    meant = _listed(rule, sorted(reference.best), "or" if rule.most == 1 else "and")
    if not picks:
        return Verdict(0.0, f"You chose nothing; the reference is {meant}.")
    if rule.most == 1:
        chosen = _listed(rule, list(picks))
        if credit == 1:
            return Verdict(credit, f"You chose {chosen}, consistent with the reference.", leaning)
        extent = f"in part, for {percent(credit)} of the credit" if credit else "not consistent with it"
        return Verdict(credit, f"You chose {chosen}; the reference is {meant}: {extent}.", leaning)
    sentences = [
        f"{words}: {_listed(rule, group)}."
        for words, group in (
            ("In the reference", [pick for pick in picks if shares[pick] == 1]),
            ("In part", [pick for pick, share in shares.items() if share is not None and share < 1]),
            ("Not in the reference, each taken off again", [pick for pick in picks if shares[pick] is None]),
            ("Not chosen", sorted(reference.best.difference(picks)) if credit < 1 else []),
        )
        if group
    ]
    return Verdict(credit, " ".join([*sentences, f"{agreeing - wrong:g} of {needed} needed."]), leaning)


def measure(rule: MeasureRule, said: MeasureSaid, reference: MeasureReference) -> Verdict:
    """Full credit near the reference, none far from it, a straight fall in between; none for the wrong thing."""
    given, meant = spoken(said.value, rule), spoken(reference.value, rule)
    if rule.unit == "count":
        given = f"count of {given} {rule.counted}"
    if reference.of and said.of not in reference.of:
        taken = f"was read on {said.of}" if said.of is not None else "names nothing it was read on"
        return Verdict(0.0, f"Your {given} {taken}; the reference {meant} is that of {_either(reference.of)}.")
    distance = abs(said.value - reference.value)
    credit = rule.credit(distance)
    leaning = 0 if credit > 1 - ROUNDING else _sign(said.value - reference.value)
    name = f" for {said.of}" if said.of is not None and said.of in reference.of else ""
    method = f" ({rule.method})" if rule.method else ""
    if credit == 1 and round(distance, 1) == 0:
        return Verdict(credit, f"Your {given} agrees with the reference{name}{method}.", leaning)
    side = "below" if said.value < reference.value else "above"
    apart = f"Your {given} is {spoken(distance, rule)} {side} the reference {meant}{name}{method}"
    if credit == 1:
        return Verdict(credit, f"{apart}, within the {spoken(rule.full_within, rule)} that count as agreeing.", leaning)
    if credit == 0:
        return Verdict(credit, f"{apart}; credit ends at {spoken(rule.none_beyond, rule)}.", leaning)
    return Verdict(credit, f"{apart}: {percent(credit)} of the credit.", leaning)


def mark(rule: MarkRule, said: MarkSaid, reference: MarkReference) -> Verdict:
    """Credit by distance under the best pairing, less the cost of marks that hit nothing."""
    pairing = pair(said.points_mm, reference.points_mm, rule)
    needed = len(reference.points_mm)
    credit = min(1.0, max(0.0, pairing.earned / needed))
    if not said.points_mm:
        return Verdict(0.0, f"You set no mark; the reference has {counted(needed, 'point')} on this film.")
    single = needed == 1 and len(said.points_mm) == 1
    if single and not pairing.pairs:
        (x_mm, y_mm), (x_ref_mm, y_ref_mm) = said.points_mm[0], reference.points_mm[0]
        distance_mm = ((x_mm - x_ref_mm) ** 2 + (y_mm - y_ref_mm) ** 2) ** 0.5
        return Verdict(
            credit,
            f"Your mark lies {distance_mm:.1f} mm from the reference on the film; credit ends at "
            f"{rule.none_beyond_mm:.1f} mm.",
        )
    sentences = [
        f"Your mark{'' if single else f' {number + 1}'} lies {distance_mm:.1f} mm from the reference"
        f"{'' if needed == 1 else f' point {point + 1}'} on the film."
        for number, point, distance_mm in pairing.pairs
    ]
    if pairing.false_marks:
        cost = pairing.false_marks * rule.false_mark_cost
        sentences.append(
            f"{counted(pairing.false_marks, 'mark')} near no reference point within "
            f"{rule.none_beyond_mm:.1f} mm: {cost:g} taken off."
        )
    if missed := needed - len(pairing.pairs):
        sentences.append(f"{counted(missed, 'reference point')} not marked.")
    return Verdict(credit, " ".join(sentences), _met(credit))


def bench(rule: BenchRule, said: BenchSaid, reference: BenchReference) -> Verdict:
    """The share of what was to be met; nothing done earns nothing."""
    expected = f"Reference: {reference.expected.rstrip('.')}."
    notes = " ".join(f"{note.rstrip('.')}." for note in said.notes)
    if said.of == 0:
        return Verdict(0.0, " ".join(filter(None, ("Not done, so there is nothing to judge.", notes, expected))))
    met = f"{said.met:.3g} of {said.of:.3g} {rule.counts.rstrip('.')}."
    share = said.met / said.of
    return Verdict(share, " ".join(filter(None, (met, notes, expected))), _met(share))


@dataclass(frozen=True)
class Kind:
    """What belongs to one kind: the values it compares, the rule it needs and the comparison itself."""

    rule: type
    said: type | tuple[type, ...]
    reference: type
    compare: Callable[..., Verdict]


KINDS: Mapping[str, Kind] = {
    "level": Kind(LevelRule, LevelSaid, LevelReference, level),
    "choice": Kind(ChoiceRule, (str, tuple), ChoiceReference, choice),
    "measure": Kind(MeasureRule, MeasureSaid, MeasureReference, measure),
    "mark": Kind(MarkRule, MarkSaid, MarkReference, mark),
    "bench": Kind(BenchRule, BenchSaid, BenchReference, bench),
    "order": Kind(OrderRule, OrderSaid, OrderReference, order),
    "rank": Kind(OrderRule, OrderSaid, OrderReference, order),
    "outline": Kind(OutlineRule, OutlineSaid, OutlineReference, outline),
    "written": Kind(WrittenRule, WrittenSaid, WrittenReference, written),
}


def compare(criterion: Criterion, said: Said, reference: Reference) -> Verdict:
    """Compare an answer with its reference under the criterion's rule.

    Raises
    ------
    ValueError
        If the answer cannot be one to this criterion (see `check`), or the reference belongs to another kind.
    """
    check(criterion, said)
    kind = KINDS[criterion.kind]
    if not isinstance(reference, kind.reference):
        raise ValueError(
            f"criterion {criterion.id} is of the kind {criterion.kind}: its reference must be a "
            f"{kind.reference.__name__}, not a {type(reference).__name__}"
        )
    return kind.compare(criterion.rule, said, reference)


def check(criterion: Criterion, said: Said) -> None:
    """Refuse, in a ValueError, an answer that cannot be one to this criterion: needs no reference."""
    kind = KINDS[criterion.kind]
    if not isinstance(said, kind.said):
        raise ValueError(f"criterion {criterion.id} asks for a {criterion.kind}: a {type(said).__name__} is none")
    match criterion.rule:
        case ChoiceRule() as rule if isinstance(said, str | tuple):
            picks = (said,) if isinstance(said, str) else said
            if len(set(picks)) != len(picks):
                raise ValueError(f"criterion {criterion.id}: an option was picked twice: pick each once")
            if len(picks) > rule.most:
                raise ValueError(f"criterion {criterion.id}: {len(picks)} options picked, at most {rule.most} may be")
            for pick in picks:
                _must_be_option(rule, pick, f"criterion {criterion.id}: the answer names")
        case LevelRule() as rule if isinstance(said, LevelSaid) and said.level not in rule.levels:
            raise ValueError(f"criterion {criterion.id}: level {said.level} is none here: give 1 to {len(rule.words)}")
        case MarkRule() as rule if isinstance(said, MarkSaid) and len(said.points_mm) > rule.most_marks:
            raise ValueError(
                f"criterion {criterion.id}: {len(said.points_mm)} marks set, at most {rule.most_marks} may be"
            )
        case MeasureRule(unit="count") if isinstance(said, MeasureSaid):
            if said.value < 0 or said.value != int(said.value):
                raise ValueError(f"criterion {criterion.id}: {said.value:g} is no count: give a whole number")
        case OrderRule() as rule if isinstance(said, OrderSaid):
            require_every_item(rule, said, f"criterion {criterion.id}: the answer")
        case WrittenRule() as rule if isinstance(said, WrittenSaid):
            require_lines(rule, said, f"criterion {criterion.id}: the answer")


def spoken(value: float, rule: MeasureRule) -> str:
    """A number as it is read out: tenths of a millimetre, degrees without a needless decimal, a bare count."""
    match rule.unit:
        case "mm":
            return f"{value:.1f} mm"
        case "deg":
            return f"{round(value, 1):g}°"
        case "count":
            return f"{value:g}"


def _evidence_fault(rule: LevelRule, said: LevelSaid, reference: LevelReference) -> str:
    pins = ", ".join(sorted(reference.evidence))
    if len(said.evidence) > rule.most_pins:
        return f"{len(said.evidence)} pins single nothing out (at most {rule.most_pins}; the reference rests on {pins})"
    if not said.evidence & reference.evidence:
        return f"None of the reference's evidence ({pins}) is pinned"
    return ""


def _share(rule: ChoiceRule, pick: str, reference: ChoiceReference) -> float | None:
    """What one pick earns: the rubric's share goes before the case's; None where neither names it."""
    if pick in reference.best:
        return 1.0
    stated = [rule.partly[best][pick] for best in reference.best if pick in rule.partly.get(best, {})]
    return max(stated) if stated else reference.partly.get(pick)


def _caution(rule: ChoiceRule, picks: tuple[str, ...], reference: ChoiceReference) -> int | None:
    """Whether the one pick is more or less cautious than every best option; None where the rule orders neither."""
    places = {option: place for place, option in enumerate(rule.ordered)}
    if len(picks) != 1 or not {picks[0], *reference.best} <= set(places):
        return None
    place, best = places[picks[0]], [places[option] for option in reference.best]
    if place > max(best):
        return 1
    return -1 if place < min(best) else None


def _met(credit: float) -> int | None:
    """What has no direction either agrees in full or departs without one."""
    return 0 if credit == 1 else None


def _sign(difference: float) -> int:
    return (difference > 0) - (difference < 0)


def _must_be_option(rule: ChoiceRule, option: str, who: str) -> None:
    if rule.options != "case" and option not in rule.options:
        raise ValueError(f"{who} {option!r}, which is no option here: use one of {', '.join(rule.options)}")


def _listed(rule: ChoiceRule, options: list[str], last: str = "and") -> str:
    quote = "" if rule.options == "case" else "'"
    return joined([f"{quote}{rule.wording(option)}{quote}" for option in options], last)


def _either(names: frozenset[str]) -> str:
    return joined(sorted(names), "or")
