"""A flaw of a task as it is written."""

from dataclasses import dataclass


@dataclass(frozen=True)
class Flaw:
    """Which flaw, and one sentence that names the place and what to do."""

    name: str
    words: str
