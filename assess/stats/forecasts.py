"""How far stated probabilities lie from what came of them: the Brier score and the ranked probability score."""

from collections.abc import Sequence
from itertools import accumulate

ADDS_UP_WITHIN = 1e-9


def brier(forecasts: Sequence[float], outcomes: Sequence[bool | int]) -> float:
    """Mean of (f - o)² over forecasts of things that happened or not: 0 is best, 1 worst.

    Parameters
    ----------
    forecasts : sequence of float
        Probabilities, 0 to 1; at least one.
    outcomes : sequence of bool
        Whether each happened; as many as there are forecasts.

    Raises
    ------
    ValueError
        If there is no forecast, the two differ in number, or a probability is out of range.

    Examples
    --------
    (0.2² + 0.4²) / 2:

    >>> round(brier([0.8, 0.4], [True, False]), 6)
    0.1

    References
    ----------
    Brier, Mon Weather Rev 1950;78:1.
    """
    if not forecasts or len(forecasts) != len(outcomes):
        raise ValueError(f"{len(forecasts)} forecasts and {len(outcomes)} outcomes: give as many of each, at least one")
    for forecast in forecasts:
        _require_probability(forecast)
    return sum((f - o) ** 2 for f, o in zip(forecasts, outcomes, strict=True)) / len(forecasts)


def ranked_probability_score(probabilities: Sequence[float], occurred: int) -> float:
    """Squared distance of the summed-up forecast from what occurred, for classes in an order; 0 is best.

    The sum over all classes but the last of (F_m - O_m)², F and O being summed from the first class on. With K classes
    the worst is K - 1. A forecast that misses by one class scores better than one that misses by two.

    Parameters
    ----------
    probabilities : sequence of float
        Of each class, in their order; they add up to 1.
    occurred : int
        The class that occurred, counted from 1.

    Raises
    ------
    ValueError
        If there are fewer than two classes, a probability is out of range, they do not add up to 1, or there is no such
        class.

    Examples
    --------
    (0.2 - 1)² + (0.7 - 1)²:

    >>> round(ranked_probability_score([0.2, 0.5, 0.3], 1), 6)
    0.73

    References
    ----------
    Epstein, J Appl Meteorol 1969;8:985.
    """
    if len(probabilities) < 2:
        raise ValueError(f"{len(probabilities)} classes have no order: give at least two")
    for probability in probabilities:
        _require_probability(probability)
    if abs(sum(probabilities) - 1) > ADDS_UP_WITHIN:
        raise ValueError(f"the probabilities add up to {sum(probabilities):g}: change them until they sum to 1")
    if not 1 <= occurred <= len(probabilities):
        raise ValueError(f"class {occurred} is none of {len(probabilities)}: count from 1")
    summed = list(accumulate(probabilities))[:-1]
    return sum((share - (place >= occurred)) ** 2 for place, share in enumerate(summed, 1))


def _require_probability(value: float) -> None:
    if not 0 <= value <= 1:
        raise ValueError(f"a probability lies between 0 and 1, not at {value}: correct it")
