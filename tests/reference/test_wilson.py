"""The score interval against an independent library (dependency group "reference").

statsmodels has Wilson's interval (J Am Stat Assoc 1927;22:209) among its intervals of a proportion.
"""

import pytest
from statsmodels.stats.proportion import proportion_confint

from assess.stats import wilson

TRIALS = (1, 2, 3, 5, 10, 24, 99, 120, 1000, 100_000)
SHARES = (0, 0.01, 0.1, 0.25, 0.5, 0.7, 0.9, 0.99, 1)


@pytest.mark.parametrize("level", [0.5, 0.8, 0.9, 0.95, 0.99, 0.9999])
@pytest.mark.parametrize("n", TRIALS)
def test_the_library_has_the_same_interval(n, level):
    for agreeing in sorted({round(share * n) for share in SHARES}):
        expected = proportion_confint(agreeing, n, alpha=1 - level, method="wilson")
        assert wilson(agreeing, n, level=level) == pytest.approx(expected, abs=1e-9), f"{agreeing} of {n}"
