"""Which groups are large enough to be shown to somebody who should not learn about single persons.

A figure is safe if nothing about fewer than `LEAST_SHOWN` persons follows from it, alone or together with every other
figure on show. Two rules give that:

1. A group is shown if it is large enough by itself. Whether its neighbours are shown does not matter, so two pages
   that cut out different parts of one table always agree.
2. A total is made of shown groups and of nothing else. It then is a sum of figures that stand on the page, so all that
   can be had by adding and subtracting is a sum over some of the shown groups, each of which is large enough. A total
   that counted a hidden group too would give it away: total less shown groups.

It follows that the number of persons left out may not be shown, nor a total that was counted in another way, such as
the size of all attempts beside the total's; how many groups were left out may.

The groups must not share an attempt, and must be the finest ones that appear on any page. One assigned case of one
cohort is such a group: an attempt belongs to one. A group within a group (a seminar within a cohort) would be finer;
where both are wanted, the outer one is a total over the inner ones. A row is decided by its own attempts: a case that
four have finished is hidden beside one that all have finished, and adds nothing to the cohort's total over cases.

A small count within a shown group (one of 24 read the bend too high) is meant to be seen: it does not say who.

Not covered, and for the caller to see to: the same group seen twice with one attempt more (show a table that stands
still, or changes by several attempts at once); a group whose members all did the same, for then its figure tells what
each did; and what a reader knows beside the page, such as their own attempt.
"""

from collections.abc import Hashable, Mapping
from typing import TypeVar

LEAST_SHOWN = 5  # persons; a convention of small-count statistics: common practice, no source

Key = TypeVar("Key", bound=Hashable)


def shown(groups: Mapping[Key, int]) -> frozenset[Key]:
    """The groups that may be shown.

    Parameters
    ----------
    groups : mapping of int
        Persons by group, disjoint in attempts. Where one person may have several attempts in a group, count the person
        once.

    Raises
    ------
    ValueError
        If a number is negative.

    Examples
    --------
    >>> sorted(shown({"year three": 24, "year four": 4, "year five": 5}))
    ['year five', 'year three']
    """
    for key, persons in groups.items():
        if persons < 0:
            raise ValueError(f"the group {key!r} has {persons} persons: count them anew")
    return frozenset(key for key, persons in groups.items() if persons >= LEAST_SHOWN)


def total_over(groups: Mapping[Key, int]) -> int:
    """The persons behind a total of these groups: those of the shown groups only, and 0 if no total may be shown.

    Whatever else is totalled (agreements, unsafe steps) is summed over `shown(groups)` in the same way.

    Examples
    --------
    The four are left out; 28 beside 24 would tell what they did.

    >>> total_over({"year three": 24, "year four": 4})
    24
    """
    return sum(groups[key] for key in shown(groups))
