"""The numbers the bench uses beside geometry, loaded once from `teaching.toml` with their meaning, unit and basis."""

import tomllib
from dataclasses import dataclass, fields
from pathlib import Path
from typing import Any, Literal

Basis = Literal["published", "derived", "teaching choice"]
BASES: tuple[Basis, ...] = ("published", "derived", "teaching choice")


@dataclass(frozen=True)
class Note:
    """What stands behind one number; where it has a range, `pinned_by` names the test that fails outside of it."""

    value: float
    unit: str
    meaning: str
    basis: Basis
    source: str = ""
    least: float | None = None
    most: float | None = None
    pinned_by: str = ""

    def __post_init__(self) -> None:
        if self.basis not in BASES:
            raise ValueError(f"a basis of {self.basis!r} is none of {', '.join(BASES)}")
        if self.basis == "published" and not self.source:
            raise ValueError(f"a published number needs its source: {self.meaning}")
        if not (self.least is None) == (self.most is None) == (not self.pinned_by):
            raise ValueError(f"a range needs both ends and the test that pins it: {self.meaning}")
        if self.least is not None and self.most is not None and not self.least <= self.value <= self.most:
            raise ValueError(f"{self.value:g} lies outside its range, {self.least:g} to {self.most:g}: {self.meaning}")


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
    gel_friction_share: float
    gel_wet: float
    locator_mm: float
    locator_wrong_mm: float
    locator_wet: float
    open_apex_mm: float
    cone_small_share: float
    cone_large_share: float
    medicament_clean_share: float
    provisional_least_mm: float
    shortest_fill_mm: float
    sealer_mm: float
    sealer_carried_mm: float
    spreader_short_mm: float
    fill_chips_share: float
    fill_void_share: float
    warm_flow_mm: float
    carrier_flow_mm: float
    loose_slip_mm: float


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
        if not notes[name].pinned_by:
            raise ValueError(f"teaching number {name} has no range: give its ends and the test that pins them")
    return notes


def _loaded() -> dict[str, Note]:
    return parsed(tomllib.loads(Path(__file__).with_name("teaching.toml").read_text(encoding="utf-8")))


NOTES = _loaded()
TEACHING = Teaching(**{name: note.value for name, note in NOTES.items()})
