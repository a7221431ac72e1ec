"""How shares, lists and counts are worded in a verdict."""

from collections.abc import Sequence


def percent(share: float) -> str:
    """A share in hundredths.

    >>> percent(0.5), percent(1 / 3)
    ('50 %', '33.3 %')
    """
    return f"{100 * share:.3g} %"


def counted(number: int, noun: str) -> str:
    """A number with its noun.

    >>> counted(1, "mark"), counted(3, "mark")
    ('1 mark', '3 marks')
    """
    return f"{number} {noun}{'' if number == 1 else 's'}"


def joined(words: Sequence[str], last: str = "and") -> str:
    """At least one word, as a list is read out.

    >>> joined(["a"]), joined(["a", "b", "c"])
    ('a', 'a, b and c')
    """
    return words[0] if len(words) == 1 else f"{', '.join(words[:-1])} {last} {words[-1]}"
