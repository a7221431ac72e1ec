"""The numbers the bench uses beside geometry, loaded once from `teaching.toml` with their meaning, unit and basis."""

import tomllib
from dataclasses import dataclass, fields
from pathlib import Path
from typing import Any, Literal

Basis = Literal["published", "derived", "teaching choice"]
BASES: tuple[Basis, ...] = ("published", "derived", "teaching choice")


@dataclass(frozen=True)
class Note:
    """What stands behind one number."""

    value: float
    unit: str
    meaning: str
    basis: Basis
    source: str = ""

    def __post_init__(self) -> None:
        if self.basis not in BASES:
            raise ValueError(f"a basis of {self.basis!r} is none of {', '.join(BASES)}")
        if self.basis == "published" and not self.source:
            raise ValueError(f"a published number needs its source: {self.meaning}")


@dataclass(frozen=True)
class Teaching:
    """Every number by name; `teaching.toml` says what each means."""

    longest_mm: float
    core_share: float
    steel_n_per_mm2: float
    nickel_titanium_n_per_mm2: float
    shear_n_per_mm2: float
    friction: float
    side_half_n: float
    bite_mm: float
    pilot_hand_share: float
    pilot_engine_share: float
    zone_mm: float
    overcut_mm: float
    overcut_most_mm: float
    room_share: float
    carry_share: float
    mud_share: float
    brush_mm: float
    engine_brush_share: float
    engine_brush_strokes: float
    ledge_mm: float
    near_notch_mm: float
    push_light_n: float
    push_firm_n: float
    reading_mm: float
    snug_mm: float
    thin_wall_mm: float
    wall_watch_ends_mm: float
    turns_per_pass: float
    fatigue_cycles: float
    stressed_share: float
    fragment_mm: float
    precurve_length_mm: float
    outer_cut_mm: float
    bridge_mm: float
    wet_per_use: float
    exchange_mm: float
    stirred_share: float
    needle_back_mm: float
    terminus_mm: float
    terminus_tolerance_mm: float
    foramen_widened: float
    foramen_torn: float
    recapitulation_strokes: float
    recapitulation_precurve_per_mm: float


def parsed(table: dict[str, Any]) -> dict[str, Note]:
    """Notes by name from the file's tables. ValueError, naming the entry, if one is missing, unknown or malformed."""
    wanted = {field.name for field in fields(Teaching)}
    if missing := sorted(wanted - set(table)):
        raise ValueError(f"the teaching file lacks {', '.join(missing)}")
    if unknown := sorted(set(table) - wanted):
        raise ValueError(f"the teaching file holds names the bench does not use: {', '.join(unknown)}")
    notes = {}
    for name, entry in table.items():
        try:
            notes[name] = Note(**entry)
        except (TypeError, ValueError) as problem:
            raise ValueError(f"teaching number {name}: {problem}") from problem
    return notes


def _loaded() -> dict[str, Note]:
    return parsed(tomllib.loads(Path(__file__).with_name("teaching.toml").read_text(encoding="utf-8")))


NOTES = _loaded()
TEACHING = Teaching(**{name: note.value for name, note in NOTES.items()})
