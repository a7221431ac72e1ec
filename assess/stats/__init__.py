"""Figures of a cohort from whole-number tallies: shares, their intervals, and which of them may be shown."""

from assess.stats.disclosure import LEAST_SHOWN, shown, total_over
from assess.stats.forecasts import brier, ranked_probability_score
from assess.stats.intervals import wilson
from assess.stats.tallies import Agreement, Counts, agreement

__all__ = [
    "LEAST_SHOWN",
    "Agreement",
    "Counts",
    "agreement",
    "brier",
    "ranked_probability_score",
    "shown",
    "total_over",
    "wilson",
]
