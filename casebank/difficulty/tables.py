"""One TOML table read strictly: each key is asked for once, and a key nobody asked for is an error."""

import math
from collections.abc import Mapping


class CriteriaError(ValueError):
    """A criteria set that cannot be used; the message names file, factor and field and says what to do."""


class Table:
    """A table and where it stands, so that every refusal can say so."""

    def __init__(self, content: object, where: str) -> None:
        if not isinstance(content, Mapping):
            raise CriteriaError(f"{where}: holds {content!r}: make it a table")
        self.where = where
        self._left: dict[str, object] = dict(content)

    def __contains__(self, key: str) -> bool:
        return key in self._left

    def refuse(self, key: str, trouble: str) -> CriteriaError:
        """The error to raise about one key."""
        return CriteriaError(f"{self.where}, {key}: {trouble}")

    def text(self, key: str) -> str:
        value = self._take(key)
        if not isinstance(value, str) or not value.strip():
            raise self.refuse(key, f"{value!r} is no text: write some between quotes")
        return value

    def text_or_none(self, key: str) -> str | None:
        return self.text(key) if key in self else None

    def one_of(self, key: str, words: tuple[str, ...]) -> str:
        value = self.text(key)
        if value not in words:
            raise self.refuse(key, f"{value!r} is not known here: use one of {', '.join(words)}")
        return value

    def texts(self, key: str) -> tuple[str, ...]:
        values = self._list(key)
        if not all(isinstance(value, str) and value.strip() for value in values):
            raise self.refuse(key, "a value is no text: write each between quotes")
        if len(set(values)) != len(values):
            raise self.refuse(key, "a value stands twice: keep one")
        return tuple(str(value) for value in values)

    def number(self, key: str) -> float:
        value = self._take(key)
        if isinstance(value, bool) or not isinstance(value, int | float) or not math.isfinite(value):
            raise self.refuse(key, f"{value!r} is no finite number: write one, without quotes")
        return float(value)

    def whole(self, key: str, *, least: int) -> int:
        value = self._take(key)
        if isinstance(value, bool) or not isinstance(value, int) or value < least:
            raise self.refuse(key, f"{value!r} will not do: write a whole number of {least} or more")
        return value

    def table(self, key: str) -> "Table":
        return Table(self._take(key), f"{self.where}, {key}")

    def tables(self, key: str, each: str) -> list["Table"]:
        """The tables of a list, each called by `each` and its number in messages."""
        return [Table(value, f"{self.where}, {each} {number}") for number, value in enumerate(self._list(key), 1)]

    def named_texts(self, key: str) -> dict[str, str]:
        """A table of texts whose keys are free."""
        table = self.table(key)
        return {name: table.text(name) for name in table.fields()}

    def fields(self) -> tuple[str, ...]:
        """The keys that nobody has asked for yet."""
        return tuple(self._left)

    def done(self) -> None:
        """Refuse what is left: a key that is misspelt or not known."""
        for key in self._left:
            raise self.refuse(key, "this key is not known here: remove it or correct its spelling")

    def _list(self, key: str) -> list[object]:
        value = self._take(key)
        if not isinstance(value, list) or not value:
            raise self.refuse(key, "must be a list with at least one entry: write it between square brackets")
        return value

    def _take(self, key: str) -> object:
        if key not in self._left:
            raise self.refuse(key, "missing: add it")
        return self._left.pop(key)
