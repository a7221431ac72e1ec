"""How far a share that was counted in a few attempts may lie from the share in the long run."""

from math import sqrt
from statistics import NormalDist


def wilson(agreeing: int, n: int, *, level: float = 0.95) -> tuple[float, float]:
    """The score interval of a share of independent trials.

    It holds every long-run share that a two-sided score test would not reject, so it stays within 0 and 1 and has a
    width at 0 of n and at n of n too. There is no correction for continuity.

    Parameters
    ----------
    agreeing : int
        Trials that agree, 0 to n.
    n : int
        Trials, 1 or more. Several trials of one person are not independent: the true interval is wider then.
    level : float
        Confidence, at least 0.5 and below 1.

    Returns
    -------
    tuple of float
        Lower and upper end, shares between 0 and 1, with agreeing / n between them.

    Raises
    ------
    ValueError
        If there is no trial, if more agree than there are, or if the level is out of range.

    Examples
    --------
    None of ten: the upper end is z² / (10 + z²).

    >>> [round(end, 4) for end in wilson(0, 10)]
    [0.0, 0.2775]

    References
    ----------
    Wilson, J Am Stat Assoc 1927;22:209.
    """
    if n < 1:
        raise ValueError(f"an interval needs at least one trial, not {n}: leave it out where nothing was counted")
    if not 0 <= agreeing <= n:
        raise ValueError(f"{agreeing} of {n} trials cannot agree: give 0 to {n}")
    if not 0.5 <= level < 1:
        raise ValueError(f"a level of {level} is out of range: give at least 0.5 and less than 1")
    z = -NormalDist().inv_cdf((1 - level) / 2)
    missing = n - agreeing
    # The two roots of the score equation, written so that no near-equal numbers are subtracted: the lower end is
    # exactly 0 at 0 of n, the upper exactly 1 at n of n, and rounding never puts the share outside.
    pull = z * (z + sqrt(z * z + 4 * agreeing * missing / n)) / 2
    low = agreeing / n * (agreeing / (agreeing + pull))
    high = agreeing / n + missing / n * (pull / (missing + pull))
    return low, high
