"""Things put in order: how many pairs stand the wrong way round, and what a random order earns.

Two kinds are compared here: `order`, for steps that follow from each other, and `rank`, for acts in a dilemma, which
lies on an axis of its own.
"""

import itertools
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field

from casebank.rubric.phrases import counted, percent
from casebank.rubric.verdict import Verdict

FEWEST_ITEMS, MOST_ITEMS = 3, 10
"""More items than this cannot be held in mind while they are moved about: a teaching choice."""

RANDOM_SHARE = 0.5
"""Share of its pairs that a random order has the wrong way round, on average."""

GAPS_NAMED = 2


@dataclass(frozen=True)
class OrderRule:
    """What is put in order, and from how many inversions on nothing is earned.

    Attributes
    ----------
    items : mapping of value to wording
        As the file lists them; whoever shows them shuffles them.
    first, last : str
        What the two ends mean ("first", "last").
    none_from : float
        Share of the pairs, above 0 and at most 0.5, that stand the wrong way round where credit ends. At 0.5 credit is
        Kendall's tau, held at 0 from below: a random order has half its pairs wrong on average, a reversed one all.
    unsafe_first : mapping of value to reason
        What would endanger a patient if it came first. It costs nothing beyond its inversions: it is named in the
        verdict, and whoever grades reports it apart from the score (see `unsafe_at_first`).
    """

    items: Mapping[str, str]
    first: str = "first"
    last: str = "last"
    none_from: float = RANDOM_SHARE
    unsafe_first: Mapping[str, str] = field(default_factory=dict)

    def __post_init__(self) -> None:
        if not FEWEST_ITEMS <= len(self.items) <= MOST_ITEMS:
            raise ValueError(f"items: {len(self.items)} to put in order: give {FEWEST_ITEMS} to {MOST_ITEMS}")
        if not 0 < self.none_from <= RANDOM_SHARE:
            raise ValueError(
                f"none_from: {self.none_from:g} of the pairs: write a share above 0 and at most {RANDOM_SHARE:g}, "
                "where a random order lies on average"
            )
        for item in self.unsafe_first:
            if item not in self.items:
                raise ValueError(f"unsafe_first names {item}, which is no item: correct it or add the item")
        if len(self.unsafe_first) == len(self.items):
            raise ValueError("unsafe_first names every item: leave at least one that may come first")


@dataclass(frozen=True)
class OrderSaid:
    """Items from first to last, each once."""

    items: tuple[str, ...]

    def __post_init__(self) -> None:
        if len(set(self.items)) != len(self.items):
            raise ValueError("an item stands twice in the order: name each once")


@dataclass(frozen=True)
class OrderReference:
    """Items from first to last in groups; within a group either may come before the other."""

    groups: tuple[frozenset[str], ...]

    def __post_init__(self) -> None:
        named = [item for group in self.groups for item in group]
        if len(self.groups) < 2 or not all(self.groups):
            raise ValueError("an order needs at least two groups with something in each: part the items")
        if len(set(named)) != len(named):
            raise ValueError("an item stands in two groups of the order: keep one")

    @property
    def items(self) -> frozenset[str]:
        return frozenset[str]().union(*self.groups)

    @property
    def sizes(self) -> tuple[int, ...]:
        """How many items each group holds."""
        return tuple(len(group) for group in self.groups)


def order(rule: OrderRule, said: OrderSaid, reference: OrderReference) -> Verdict:
    """Credit by inversions: 1 - (pairs the wrong way round / pairs that have a way round) / none_from, not below 0.

    Pairs within a group of the reference have none. The distance is Kendall's (Biometrika 1938;30:81): neighbours
    changed for each other make one inversion, the ends of n items 2 n - 3.
    """
    if reference.items != set(rule.items):
        stray = sorted(reference.items ^ set(rule.items))
        raise ValueError(f"the reference puts {stray[0]} in order or leaves it out: name every item of the rule once")
    require_every_item(rule, said, "the answer")
    place = {item: number for number, group in enumerate(reference.groups) for item in group}
    wrong = [
        (later, earlier) for later, earlier in itertools.combinations(said.items, 2) if place[later] > place[earlier]
    ]
    pairs = most_inversions(reference.sizes)
    credit = order_credit(rule, len(wrong), pairs)
    either = len(rule.items) * (len(rule.items) - 1) // 2 - pairs
    sentences = [
        f"All {pairs} pairs stand as in the reference."
        if not wrong
        else f"{len(wrong)} of {counted(pairs, 'pair')} stand the other way round than in the reference: "
        f"{percent(credit)} of the credit."
    ]
    if wrong:
        sentences.append(f"{_gaps(rule, said, wrong, place)}.")
    if either:
        sentences.append(f"{counted(either, 'pair')} may stand either way.")
    if (unsafe := unsafe_at_first(rule, said)) is not None:
        sentences.append(f"'{rule.items[unsafe]}' stands {rule.first}, an unsafe step: {rule.unsafe_first[unsafe]}")
    return Verdict(credit, " ".join(sentences), leaning=None if wrong else 0)


def order_credit(rule: OrderRule, inversions: int, pairs: int) -> float:
    """Credit for so many inversions among so many pairs.

    >>> rule = OrderRule({"a": "A", "b": "B", "c": "C", "d": "D"})
    >>> order_credit(rule, 0, 6), order_credit(rule, 3, 6), order_credit(rule, 6, 6)
    (1.0, 0.0, 0.0)
    """
    return max(0.0, 1 - inversions / pairs / rule.none_from)


def unsafe_at_first(rule: OrderRule, said: OrderSaid) -> str | None:
    """The item put first though it would endanger a patient there; None if there is none."""
    return said.items[0] if said.items and said.items[0] in rule.unsafe_first else None


def require_every_item(rule: OrderRule, said: OrderSaid, who: str) -> None:
    """ValueError, naming the first item that is missing or unknown, unless every item is put in order."""
    for item in said.items:
        if item not in rule.items:
            raise ValueError(f"{who} names {item!r}, which is no item here: use {', '.join(rule.items)}")
    for item in rule.items:
        if item not in said.items:
            raise ValueError(f"{who} leaves out {item!r}: put every item in order")


def order_in_words(rule: OrderRule, said: OrderSaid | OrderReference) -> str:
    """Items as they are read, numbered; items that may stand either way share a number."""
    groups = (
        [(item,) for item in said.items] if isinstance(said, OrderSaid) else [_listed(rule, g) for g in said.groups]
    )
    return "; ".join(
        f"{number} {' / '.join(rule.items[item] for item in group)}" for number, group in enumerate(groups, 1)
    )


def most_inversions(sizes: Sequence[int]) -> int:
    """Pairs that have a way round: all but those within one group.

    >>> most_inversions((1, 1, 1, 1)), most_inversions((1, 2, 1))
    (6, 5)
    """
    return (sum(sizes) ** 2 - sum(size**2 for size in sizes)) // 2


def orders_by_inversions(sizes: Sequence[int]) -> tuple[int, ...]:
    """How many arrangements of groups have 0, 1, 2, … inversions: the coefficients of a q-multinomial.

    The generating function of inversions over arrangements of a multiset is [n]! / ([g1]! [g2]! …), each [k] being
    1 + q + … + q^(k-1) (MacMahon, Am J Math 1913;35:281).

    >>> orders_by_inversions((1, 1, 1)), orders_by_inversions((2, 1))
    ((1, 2, 2, 1), (1, 1, 1))
    """
    found = [1]
    for k in range(1, sum(sizes) + 1):
        found = _times(found, k)
    for size in sizes:
        for k in range(1, size + 1):
            found = _over(found, k)
    return tuple(found)


def random_order_credit(rule: OrderRule, reference: OrderReference) -> float:
    """Mean credit of an order drawn at random, worked out over all arrangements.

    Examples
    --------
    Four items: 1, 3 and 5 of the 24 orders have 0, 1 and 2 inversions of 6; the rest earn nothing.
    (1 + 3 · 2/3 + 5 · 1/3) / 24.

    >>> rule = OrderRule({"a": "A", "b": "B", "c": "C", "d": "D"})
    >>> each = OrderReference(tuple(frozenset(item) for item in "abcd"))
    >>> round(random_order_credit(rule, each) * 24, 9) == round(1 + 2 + 5 / 3, 9)
    True
    """
    pairs = most_inversions(reference.sizes)
    ways = orders_by_inversions(reference.sizes)
    return sum(number * order_credit(rule, wrong, pairs) for wrong, number in enumerate(ways)) / sum(ways)


def _gaps(rule: OrderRule, said: OrderSaid, wrong: list[tuple[str, str]], place: Mapping[str, int]) -> str:
    """The pairs that lie furthest apart in the reference, in words."""
    worst = sorted(wrong, key=lambda pair: (place[pair[1]] - place[pair[0]], said.items.index(pair[0])))[:GAPS_NAMED]
    told = "; ".join(
        f"'{rule.items[before]}' before '{rule.items[after]}', which lies "
        f"{counted(place[before] - place[after], 'place')} ahead of it in the reference"
        for before, after in worst
    )
    return f"You put {told}"


def _listed(rule: OrderRule, group: frozenset[str]) -> tuple[str, ...]:
    return tuple(item for item in rule.items if item in group)


def _times(found: list[int], k: int) -> list[int]:
    """A polynomial by 1 + q + … + q^(k-1)."""
    product = [0] * (len(found) + k - 1)
    for power, number in enumerate(found):
        for shift in range(k):
            product[power + shift] += number
    return product


def _over(found: list[int], k: int) -> list[int]:
    """A polynomial divided by 1 + q + … + q^(k-1), which divides it."""
    rest, quotient = list(found), []
    for power in range(len(found) - k + 1):
        quotient.append(rest[power])
        for shift in range(k):
            rest[power + shift] -= quotient[-1]
    return quotient
