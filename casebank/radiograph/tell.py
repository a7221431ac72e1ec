"""Sentences made from texts with gaps, in whatever language the texts are put."""

from collections.abc import Callable, Mapping
from dataclasses import dataclass


@dataclass(frozen=True, eq=False)
class Tell:
    """Texts by group and key, and what turns one into another language."""

    texts: Mapping[str, Mapping[str, str]]
    translate: Callable[[str], str]

    def __call__(self, group: str, key: str, **gaps: str) -> str:
        """A text with its gaps filled. KeyError if there is no such text."""
        return self.translate(self.texts[group][key]).format(**gaps)

    def plain(self, text: str) -> str:
        """A text that stands elsewhere, translated."""
        return self.translate(text)
