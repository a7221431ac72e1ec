"""A table of a rubric's file, read field by field: what is missing, odd or left over is refused in words."""

from collections.abc import Mapping, Sequence
from typing import Any


class RubricError(ValueError):
    """A rubric that cannot be used; the message names file, criterion and field and says what to do."""


class Table:
    """One table of the file. `place` names file and criterion, `path` the table inside the criterion.

    Every reader takes a field out of the table; `close` refuses what nobody took.
    """

    def __init__(self, content: Mapping[str, Any], *, place: str, path: str = "") -> None:
        self.place = place
        self._content = dict(content)
        self._path = path

    def __contains__(self, field: str) -> bool:
        return field in self._content

    def fields(self) -> tuple[str, ...]:
        """Names of the fields nobody has taken yet."""
        return tuple(self._content)

    @property
    def where(self) -> str:
        """File, criterion and table, as the messages name them."""
        return f"{self.place}, {self._path.rstrip('.')}" if self._path else self.place

    def refused(self, field: str, words: str) -> RubricError:
        """The error for a field of this table, ready to raise."""
        return RubricError(f"{self.place}, {self._path}{field}: {words}")

    def take(self, field: str) -> Any:
        """A field as it stands."""
        if field not in self._content:
            raise self.refused(field, "missing: add it")
        return self._content.pop(field)

    def text(self, field: str) -> str:
        value = self.take(field)
        if not isinstance(value, str) or not value.strip():
            raise self.refused(field, f"{value!r} is no text: write it in quotation marks")
        return value

    def one_of(self, field: str, allowed: Sequence[str]) -> str:
        value = self.text(field)
        if value not in allowed:
            raise self.refused(field, f"{value!r} is not known: write one of {', '.join(allowed)}")
        return value

    def number(self, field: str) -> float:
        value = self.take(field)
        if isinstance(value, bool) or not isinstance(value, int | float):
            raise self.refused(field, f"{value!r} is no number: write one without quotation marks")
        if not abs(value) < float("inf"):
            raise self.refused(field, f"{value!r} is not finite: write a finite number")
        return float(value)

    def whole(self, field: str) -> int:
        value = self.take(field)
        if isinstance(value, bool) or not isinstance(value, int):
            raise self.refused(field, f"{value!r} is no whole number: write one without a decimal point")
        return value

    def truth(self, field: str) -> bool:
        value = self.take(field)
        if not isinstance(value, bool):
            raise self.refused(field, f"{value!r} is neither true nor false: write one of the two")
        return value

    def texts(self, field: str) -> tuple[str, ...]:
        value = self.take(field)
        if not isinstance(value, list) or not all(isinstance(entry, str) and entry.strip() for entry in value):
            raise self.refused(field, f'{value!r} is no list of texts: write ["…", "…"]')
        return tuple(value)

    def groups(self, field: str) -> tuple[tuple[str, ...], ...]:
        """A list of texts, some of which may stand together in a list of their own."""
        value = self.take(field)
        if not isinstance(value, list):
            raise self.refused(field, f'{value!r} is no list: write ["…", ["…", "…"]]')
        rows = [entry if isinstance(entry, list) else [entry] for entry in value]
        return tuple(Table({field: row}, place=self.place, path=self._path).texts(field) for row in rows)

    def points(self, field: str) -> tuple[tuple[float, float], ...]:
        value = self.take(field)
        if not isinstance(value, list) or not all(isinstance(entry, list) and len(entry) == 2 for entry in value):
            raise self.refused(field, f"{value!r} is no list of points: write [[x, y], …]")
        rows = [Table({"x": x, "y": y}, place=self.place, path=f"{self._path}{field}.") for x, y in value]
        return tuple((row.number("x"), row.number("y")) for row in rows)

    def table(self, field: str) -> "Table":
        return self._inner(self.take(field), field)

    def tables(self, field: str) -> tuple["Table", ...]:
        value = self.take(field)
        if not isinstance(value, list):
            raise self.refused(field, f"this must be a list of tables: head each with [[…{field}]]")
        return tuple(self._inner(entry, f"{field} {number}") for number, entry in enumerate(value, 1))

    def close(self) -> None:
        """Refuse the first field that no reader asked for."""
        for field in self._content:
            raise self.refused(field, "this key is not known here: remove it or correct its spelling")

    def _inner(self, value: Any, field: str) -> "Table":
        if not isinstance(value, dict):
            raise self.refused(field, f"{value!r} is no table: head it with its name in brackets")
        return Table(value, place=self.place, path=f"{self._path}{field}.")
