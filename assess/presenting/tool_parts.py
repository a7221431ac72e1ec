"""What a tool of the tray is made of: things to pick from, numbers to give, a box to tick. Nothing has a value yet."""

from dataclasses import dataclass
from typing import Any


@dataclass(frozen=True)
class Pick:
    """One of several; `options` are the value that is sent and its words. Optional, one of them is the empty value."""

    name: str
    legend: Any
    options: tuple[tuple[str, Any], ...]
    optional: bool = False


@dataclass(frozen=True)
class Figure:
    """A number from 0 to `most`."""

    name: str
    label: Any
    most: float
    whole: bool = False
    optional: bool = False

    @property
    def limit(self) -> str:
        """The greatest value as a field's attribute has it, whatever the page's language."""
        return f"{self.most:g}"


@dataclass(frozen=True)
class Tick:
    """A box that may be ticked."""

    name: str
    label: Any


Part = Pick | tuple[Figure, ...] | Tick


@dataclass(frozen=True)
class Tool:
    """One kind of move; its parts stand under its sizes, in their order.

    Attributes
    ----------
    sizes : tuple of int
        What there is to choose from; none if the tool has no size or only one.
    of_the_tooth : bool
        Whether it concerns the whole tooth, whichever canal is in hand.
    """

    kind: str
    name: Any
    sizes: tuple[int, ...] = ()
    parts: tuple[Part, ...] = ()
    note: Any = ""
    of_the_tooth: bool = False


@dataclass(frozen=True)
class Place:
    """A part of the tray with a heading of its own."""

    name: Any
    tools: tuple[Tool, ...]
