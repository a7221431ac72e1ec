"""The numbers of the access verdict beside geometry, loaded once from `access.toml` with meaning, unit and basis."""

import tomllib
from dataclasses import dataclass, fields
from pathlib import Path
from typing import Any, Literal

Basis = Literal["published", "derived", "teaching choice"]
BASES: tuple[Basis, ...] = ("published", "derived", "teaching choice")


@dataclass(frozen=True)
class AccessNote:
    """What stands behind one number, and the range in which its check holds."""

    value: float
    unit: str
    meaning: str
    basis: Basis
    least: float
    most: float
    source: str = ""

    def __post_init__(self) -> None:
        if self.basis not in BASES:
            raise ValueError(f"a basis of {self.basis!r} is none of {', '.join(BASES)}")
        if self.basis != "teaching choice" and not self.source:
            raise ValueError(f"a {self.basis} number needs its source: {self.meaning}")
        if not self.least <= self.value <= self.most:
            raise ValueError(f"{self.value:g} lies outside its range, {self.least:g} to {self.most:g}: {self.meaning}")


@dataclass(frozen=True)
class AccessConstants:
    """Every number by name; `access.toml` says what each means."""

    shaft_mm: float
    margin_mm: float
    mouth_mm: float
    edge_mm: float
    flare_deg: float
    rim_mm: float
    straight_deg: float
    bent_deg: float
    beyond_small_share: float
    beyond_large_share: float
    crown_wall_sound_mm: float
    crown_wall_weak_mm: float
    root_wall_sound_mm: float
    root_wall_thin_mm: float
    roof_small_share: float
    roof_large_share: float
    drift_small_mm: float
    drift_large_mm: float
    perforated_mm2: float
    mark_mm: float
    law_mm: float


def parsed(table: dict[str, Any]) -> dict[str, AccessNote]:
    """Notes by name from the file's tables. ValueError, naming the entry, if one is missing, unknown or malformed."""
    wanted = {field.name for field in fields(AccessConstants)}
    if missing := sorted(wanted - set(table)):
        raise ValueError(f"access.toml lacks {', '.join(missing)}: add them")
    if unknown := sorted(set(table) - wanted):
        raise ValueError(f"access.toml holds names the verdict does not use: {', '.join(unknown)}: take them out")
    notes = {}
    for name, entry in table.items():
        try:
            notes[name] = AccessNote(**entry)
        except (TypeError, ValueError) as problem:
            raise ValueError(f"access.toml, {name}: {problem}") from problem
    return notes


def _loaded() -> dict[str, AccessNote]:
    return parsed(tomllib.loads(Path(__file__).with_name("access.toml").read_text(encoding="utf-8")))


ACCESS_NOTES = _loaded()
ACCESS = AccessConstants(**{name: note.value for name, note in ACCESS_NOTES.items()})
