"""What a guess earns: a tolerance so wide that guessing pays is refused."""

import math

from casebank.rubric.rules import MarkRule, MeasureRule

GREATEST_GUESS_RATE = 0.25


def guess_rate(rule: MeasureRule | MarkRule) -> float:
    """Mean credit of somebody who has not looked.

    For a number: the answer that is always the middle of the plausible range, the reference being anywhere in it with
    equal chance. Two knees of a straight fall give the mean over a range of half-width h as
    (full + none) / (2 h), cut off where the fall runs out of the range. For a count: the same, summed over the whole
    numbers of the range. For a mark: one mark anywhere in the plausible area; the credit is then a cone with its tip
    cut off, of volume pi / 3 (f^2 + f n + n^2).

    Examples
    --------
    Full within 0.5 mm and none from 1.5 mm on, over 10 mm: (0.5 + 1.5) / 10.

    >>> guess_rate(MeasureRule("mm", 0.5, 1.5, 17.0, 27.0))
    0.2
    """
    if isinstance(rule, MarkRule):
        full_mm, none_mm = rule.full_within_mm, rule.none_beyond_mm
        volume = math.pi / 3 * (full_mm**2 + full_mm * none_mm + none_mm**2)
        return min(1.0, volume / rule.plausible_area_mm2)
    if rule.unit == "count":
        counts = range(math.ceil(rule.plausible_from), math.floor(rule.plausible_to) + 1)
        return max(sum(rule.credit(abs(guess - count)) for count in counts) for guess in counts) / len(counts)
    half = (rule.plausible_to - rule.plausible_from) / 2
    if half <= rule.full_within:
        return 1.0
    reach = min(half, rule.none_beyond)
    return (rule.full_within + (reach - rule.full_within) * (1 + rule.credit(reach)) / 2) / half


def random_rate(rule: MeasureRule, reference: float) -> float:
    """Mean credit of a number drawn from anywhere in the plausible range, against one reference.

    For a count: the mean over the whole numbers of the range. The reference may lie outside the range.

    Examples
    --------
    Full within 0.5 mm and none from 1.5 mm on, well inside a range of 10 mm: twice 0.5 and two slopes of 1 mm.

    >>> random_rate(MeasureRule("mm", 0.5, 1.5, 17.0, 27.0), 22.0)
    0.2
    """
    if rule.unit == "count":
        counts = range(math.ceil(rule.plausible_from), math.floor(rule.plausible_to) + 1)
        return sum(rule.credit(abs(count - reference)) for count in counts) / len(counts)
    below, above = _up_to(rule, rule.plausible_from - reference), _up_to(rule, rule.plausible_to - reference)
    return (above - below) / (rule.plausible_to - rule.plausible_from)


def _up_to(rule: MeasureRule, distance: float) -> float:
    """The credit summed from the reference to a signed distance: the plateau, then the slope down to none."""
    reach = min(abs(distance), rule.none_beyond)
    plateau = min(reach, rule.full_within)
    return math.copysign(plateau + (reach - plateau) * (1 + rule.credit(reach)) / 2, distance)


def refuse_guessing(rule: MeasureRule | MarkRule) -> None:
    """Raise ValueError if guessing earns more than a quarter of the credit."""
    rate = guess_rate(rule)
    if rate > GREATEST_GUESS_RATE + 1e-12:
        raise ValueError(
            f"a guess earns {100 * rate:.0f} % of the credit, more than {100 * GREATEST_GUESS_RATE:.0f} %: "
            "narrow the tolerance, or state the wider range that readings really have"
        )
