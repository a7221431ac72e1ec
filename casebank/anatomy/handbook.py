"""The handbook: what is usual in each kind of permanent tooth, and how often it differs.

`handbook.toml` holds the figures; every block names its source and how sure it is. The end of the canal stands in
`terminus.toml`.
"""

import json
import tomllib
from functools import cache
from pathlib import Path
from typing import Annotated, Any

from pydantic import Field, TypeAdapter, ValidationError
from pydantic.dataclasses import dataclass

from casebank.anatomy.tooth import FDI_NUMBERS
from casebank.anatomy.tooth_type import STRICT, Law, Sourced, ToothType

FILE = "handbook.toml"
PLACES = tuple(str(place) for place in range(1, 9))


@dataclass(frozen=True, kw_only=True, config=STRICT)
class Spread(Sourced):
    """How far single teeth may lie from the means: a length either way, mm, and a size as a share."""

    length_mm: Annotated[float, Field(gt=0, le=5)]
    size_share: Annotated[float, Field(gt=0, le=0.5)]


@dataclass(frozen=True, kw_only=True, config=STRICT)
class Handbook:
    """All kinds of permanent teeth, by jaw and place from the midline ("1" to "8"), and what holds for all of them."""

    spread: Spread
    laws: tuple[Law, ...]
    upper: dict[str, ToothType]
    lower: dict[str, ToothType]

    def __post_init__(self) -> None:
        for jaw, kinds in (("upper", self.upper), ("lower", self.lower)):
            if sorted(kinds) != list(PLACES):
                raise ValueError(f"{jaw} holds places {sorted(kinds)}: describe each of 1 to 8, once")


@cache
def handbook() -> Handbook:
    """The table beside this module. ValueError, naming file and field, if it is malformed."""
    return load(Path(__file__).with_name(FILE).read_text(encoding="utf-8"), name=FILE)


def entry(number: int) -> ToothType:
    """What is usual in a tooth, by its two-digit designation (ISO 3950), of either side.

    Raises
    ------
    ValueError
        If there is no such permanent tooth.

    Examples
    --------
    >>> entry(26).name, entry(16) is entry(26)
    ('upper first molar', True)
    """
    if number not in FDI_NUMBERS:
        raise ValueError(f"{number} is no permanent tooth: use the two-digit designation, 11 to 48")
    kinds = handbook().upper if number // 10 in (1, 2) else handbook().lower
    return kinds[str(number % 10)]


def length_range_mm(number: int) -> tuple[float, float]:
    """Between which whole lengths a tooth of this kind may lie: the published means, less and plus our spread, mm."""
    means, spread_mm = entry(number).whole_means_mm, handbook().spread.length_mm
    return min(means) - spread_mm, max(means) + spread_mm


def laws_of(number: int) -> tuple[Law, ...]:
    """The laws of chamber and orifices that hold in a tooth. ValueError if there is no such permanent tooth."""
    entry(number)
    upper_molar = number // 10 in (1, 2) and number % 10 >= 6
    return tuple(law for law in handbook().laws if law.upper_molars or not upper_molar)


def load(text: str, *, name: str) -> Handbook:
    """A handbook from TOML text; `name` is what messages call the file.

    Raises
    ------
    ValueError
        In one sentence that names file and field, if the text is no TOML, a key is unknown or missing, a value is out
        of range or of the wrong kind, or a source is not among [sources].
    """
    try:
        table = tomllib.loads(text)
    except tomllib.TOMLDecodeError as trouble:
        raise ValueError(f"{name}: not valid TOML ({trouble}): correct it there") from trouble
    sources = table.pop("sources", {})
    resolved = _with_sources(table, sources, where=name)
    try:
        return TypeAdapter(Handbook).validate_json(json.dumps(resolved, default=str))
    except ValidationError as trouble:
        first = trouble.errors(include_url=False)[0]
        field = ".".join(str(step) for step in first["loc"]) or "whole file"
        raise ValueError(f"{name}, {field}: {_sentence(first['type'], first['msg'])}") from trouble


def _with_sources(node: Any, sources: dict[str, str], *, where: str) -> Any:
    """The same tables with each source's key replaced by what it stands for."""
    if isinstance(node, list):
        return [_with_sources(part, sources, where=f"{where}.{place}") for place, part in enumerate(node)]
    if not isinstance(node, dict):
        return node
    resolved = {}
    for key, value in node.items():
        here = f"{where}, {key}" if where.endswith(".toml") else f"{where}.{key}"
        if key == "source":
            if value not in sources:
                raise ValueError(f"{here}: {value!r} is not among [sources]: name one of {', '.join(sorted(sources))}")
            resolved[key] = sources[value]
        else:
            resolved[key] = _with_sources(value, sources, where=here)
    return resolved


def _sentence(kind: str, message: str) -> str:
    match kind:
        case "unexpected_keyword_argument" | "extra_forbidden":
            return "this key is not known here: remove it or correct its spelling"
        case "missing" | "missing_argument" | "missing_keyword_only_argument":
            return "missing: add it"
        case "value_error":
            return message.removeprefix("Value error, ")
        case _:
            return f"{message[:1].lower()}{message[1:]}: correct the value"
