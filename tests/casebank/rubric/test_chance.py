"""What a guess earns, against sums and simulations worked apart from the closed forms."""

import random

import pytest

from casebank.rubric.chance import guess_rate, refuse_guessing
from casebank.rubric.rules import MarkRule, MeasureRule


@pytest.mark.parametrize(
    ("rule", "rate"),
    [
        # two knees: (0.5 + 1.5) / 10
        pytest.param(MeasureRule("mm", 0.5, 1.5, 17, 27), 0.2, id="length"),
        # (3 + 8) / 45
        pytest.param(MeasureRule("deg", 3, 8, 0, 45, method="secant"), 11 / 45, id="angle"),
        # range of +-2 around its middle, full to 1, then a fall that reaches (5 - 2) / 4 = 0.75: (1 + 0.875) / 2
        pytest.param(MeasureRule("mm", 1, 5, 0, 4), 0.9375, id="the fall runs out of the range"),
        pytest.param(MeasureRule("mm", 3, 5, 0, 4), 1.0, id="full credit everywhere"),
        # one of five
        pytest.param(MeasureRule("count", 0, 1, 1, 5, counted="canals"), 0.2, id="count"),
        # guess 3: itself 1, both neighbours (2 - 1) / 2: 2 of 5
        pytest.param(MeasureRule("count", 0, 2, 1, 5, counted="canals"), 0.4, id="count with near misses"),
    ],
)
def test_a_constant_guess_earns_the_mean_credit_over_the_range(rule, rate):
    assert guess_rate(rule) == pytest.approx(rate)


def test_a_blind_mark_earns_what_a_simulation_of_blind_marks_earns():
    rule = MarkRule(0.5, 2.0, 0.5, 3, 110.0)
    side_mm, draw = 110.0**0.5, random.Random(37)
    earned = [
        rule.credit(
            ((draw.random() * side_mm - side_mm / 2) ** 2 + (draw.random() * side_mm - side_mm / 2) ** 2) ** 0.5
        )
        for _ in range(40_000)
    ]
    # standard error of the mean near 0.001
    assert guess_rate(rule) == pytest.approx(sum(earned) / len(earned), abs=0.004)


def test_a_guess_rate_above_a_quarter_is_refused_with_its_size():
    # (1 + 2) / 10
    with pytest.raises(ValueError, match="a guess earns 30 % of the credit, more than 25 %: narrow"):
        refuse_guessing(MeasureRule("mm", 1, 2, 17, 27))


def test_exactly_a_quarter_is_allowed():
    # (0.5 + 1.5) / 8
    refuse_guessing(MeasureRule("mm", 0.5, 1.5, 17, 25))
