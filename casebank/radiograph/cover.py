"""What of each ray is taken already: a sorted list of disjoint intervals per ray, compiled.

The cover of a run of rays is `low` and `high`, shapes (COVER, rays): the ends of each ray's first, second … interval;
and `used`, shape (rays,): how many there are. Most rays at most times are covered in one piece, so those are served
side by side; the others one by one.
"""

import numba

from casebank.radiograph.meeting import ARITHMETIC, NOWHERE

COVER = 128  # intervals a ray's cover can hold
TOUCHING_MM = 1e-9  # two faces meant to lie on each other


@numba.njit(fastmath=ARITHMETIC, error_model="numpy", cache=True)
def claim(along, t0, t1, count, low, high, used, ray):  # type: ignore[no-untyped-def]  # pragma: no cover - compiled
    """Cover the stretches of `count` rays from one on and add to `along` what was free; False if one holds no more."""
    undone = _claim_together(t0, t1, count, low[0, ray:], high[0, ray:], used[ray:], along[ray:])
    if undone == 0:
        return True
    for n in range(count):
        if t1[n] > t0[n]:
            free, now = _claim_alone(low, high, ray + n, used[ray + n], t0[n], t1[n])
            if now < 0:
                return False
            used[ray + n] = now
            along[ray + n] += free
    return True


@numba.njit(fastmath=ARITHMETIC, error_model="numpy", cache=True)
def _claim_together(t0, t1, count, low, high, used, along):  # type: ignore[no-untyped-def]  # pragma: no cover
    """Serve the rays that are covered in one piece, if at all, and whose stretch meets it.

    Stretches served end before they start afterwards, the others keep their place. Returns how many are left.
    """
    left = 0
    for n in range(count):
        start, end = t0[n], t1[n]
        none = used[n] == 0
        a, b = start if none else low[n], start if none else high[n]
        fits = (end > start) & (used[n] <= 1) & (start <= b + TOUCHING_MM) & (end >= a - TOUCHING_MM)
        before, behind = a - start if start < a else 0.0, end - b if end > b else 0.0
        along[n] += before + behind if fits else 0.0
        new_a, new_b = start if start < a else a, end if end > b else b
        low[n] = new_a if fits else low[n]
        high[n] = new_b if fits else high[n]
        used[n] = 1 if fits else used[n]
        t1[n] = -NOWHERE if fits else end
        left += 1 if (end > start) & (not fits) else 0
    return left


@numba.njit(fastmath=ARITHMETIC, error_model="numpy", cache=True)
def _claim_alone(low, high, ray, used, start, end):  # type: ignore[no-untyped-def]  # pragma: no cover - compiled
    """Cover one stretch: how much of it was free, and how many intervals the ray has now; -1 if they do not fit."""
    first = 0
    while first < used and high[first, ray] < start - TOUCHING_MM:
        first += 1
    if first == used or low[first, ray] > end + TOUCHING_MM:  # it touches none
        if used == COVER:
            return 0.0, -1
        for r in range(used, first, -1):
            low[r, ray], high[r, ray] = low[r - 1, ray], high[r - 1, ray]
        low[first, ray], high[first, ray] = start, end
        return end - start, used + 1
    free = max(0.0, low[first, ray] - start)
    at = high[first, ray]
    last = first + 1
    while last < used and low[last, ray] <= end + TOUCHING_MM:
        free += low[last, ray] - at
        at = high[last, ray]
        last += 1
    free += max(0.0, end - at)
    low[first, ray], high[first, ray] = min(start, low[first, ray]), max(at, end)
    gone = last - first - 1
    if gone > 0:
        for r in range(last, used):
            low[r - gone, ray], high[r - gone, ray] = low[r, ray], high[r, ray]
    return free, used - gone
