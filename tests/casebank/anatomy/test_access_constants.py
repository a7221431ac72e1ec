"""Every number of the access verdict is pinned by a check that holds in its range and fails out of it."""

import math
import tomllib
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from pathlib import Path

import pytest

import casebank.anatomy.access_constants as constants
from casebank.anatomy.access import judge_access
from casebank.anatomy.access_constants import ACCESS, ACCESS_NOTES, parsed
from casebank.anatomy.access_findings import AccessLevel, graded
from casebank.anatomy.access_marks import judge_marks
from casebank.anatomy.access_plan import AccessPlan
from casebank.anatomy.access_prepared import Prepared
from casebank.anatomy.access_rim import may_be_opened
from casebank.anatomy.occlusal import MapFrame
from casebank.anatomy.tooth import Crown
from tests.casebank.anatomy.access_boxes import UPRIGHT, box, box_block, rectangle

NEED, COST, BAD = AccessLevel.AS_NEEDED, AccessLevel.COSTS, AccessLevel.UNSAFE


@contextmanager
def moved(name: str, value: float) -> Iterator[None]:
    """A number at another value for a while; what a prepared tooth keeps of one is prepared anew by its check."""
    was = getattr(ACCESS, name)
    object.__setattr__(ACCESS, name, value)
    try:
        yield
    finally:
        object.__setattr__(ACCESS, name, was)


def half_a_shaft() -> bool:
    """Half the diameter, 16 mm behind the tip, of files of sizes 30 to 40 with a taper of 2 percent (ISO 3630-1)."""
    return (0.30 + 0.32) / 2 - 1e-9 <= ACCESS.shaft_mm <= (0.40 + 0.32) / 2 + 1e-9


def a_spare_width_of_one_cell() -> bool:
    """Of the box, in cells of 0.15 mm, the first row beside the chamber is asked for at its roof, not the second."""
    prepared = Prepared(box_block())
    at_roof = prepared.needed[:, round((4.5 + 0.9) / 0.15) - 1]
    needed = prepared.block.middles[at_roof]
    return float(needed[:, 0].max()) == pytest.approx(1.5 + 0.075)


def walls_are_measured_at_the_feet_of_the_cusps() -> bool:
    """Cuts of 1.0 mm under the fossa are all opening, and a cut of 2.15 mm has walls."""
    shallow, deep = (judge_access(Prepared(box_block()), rectangle(-1.2, -1.2, 1.2, 1.2, d)) for d in (1.0, 2.15))
    return shallow.walls.crown is None and deep.walls.crown is not None


def _front(along_mm: float) -> bool:
    frame = MapFrame(11, Crown(10.0, 8.0, 7.0, 6.0, 6.0))
    return bool(may_be_opened(frame, [[0.0, frame.along_down * along_mm]])[0])


def an_edge_is_kept() -> bool:
    """A front tooth 10 mm high may be opened 7 mm above its neck, and not 8.5 mm."""
    return _front(7.0) and not _front(8.5001)


def _back(x_mm: float) -> bool:
    return bool(may_be_opened(MapFrame(36, Crown(7.0, 10.0, 10.0, 9.0, 9.0)), [[x_mm, 0.0]])[0])


def a_ridge_is_kept() -> bool:
    """A crown 10 mm wide may be opened 3 mm from its middle, and not 4.0 mm."""
    return _back(3.0) and not _back(4.0001)


def the_flare_of_a_tapered_bur() -> bool:
    """Over the 4.5 mm to the box's roof a usual cut closes by a quarter to two thirds of a millimetre a side."""
    return 0.2358 <= 4.5 * math.tan(math.radians(ACCESS.flare_deg)) <= 0.6325


def straight_enough() -> bool:
    """4 degrees enter as good as straight, 7.1 do not."""
    return graded(4.0, ACCESS.straight_deg, 15)[0] == NEED and graded(7.01, ACCESS.straight_deg, 15)[0] == COST


def too_bent() -> bool:
    """11.9 degrees still cost only, 20 do not reach."""
    return graded(11.99, 5, ACCESS.bent_deg)[0] == COST and graded(20.0, 5, ACCESS.bent_deg)[0] == BAD


def little_beyond() -> bool:
    """A fifth of the need more is nothing, a third and a little costs."""
    small = ACCESS.beyond_small_share
    return graded(0.2, small, 1)[0] == NEED and graded(0.3501, small, 1)[0] == COST


def much_beyond() -> bool:
    """Four fifths of the need more still cost only, a fifth over as much again is unsafe."""
    large = ACCESS.beyond_large_share
    return graded(0.7999, 0.25, large)[0] == COST and graded(1.2, 0.25, large)[0] == BAD


def a_sound_crown() -> bool:
    """2 mm are sound, 1.25 mm cost."""
    sound = ACCESS.crown_wall_sound_mm
    return graded(2.0, sound, 0.6)[0] == NEED and graded(1.2499, sound, 0.6)[0] == COST


def a_weak_crown() -> bool:
    """0.8 mm and more cost only, half a millimetre breaks."""
    weak = ACCESS.crown_wall_weak_mm
    return graded(0.8001, 1.5, weak)[0] == COST and graded(0.5, 1.5, weak)[0] == BAD


def a_safe_root() -> bool:
    """2 mm are safe, 1.2 mm cost."""
    sound = ACCESS.root_wall_sound_mm
    return graded(2.0, sound, 0.8)[0] == NEED and graded(1.1999, sound, 0.8)[0] == COST


def a_thin_root() -> bool:
    """1 mm and more cost only, half a millimetre is as good as perforated."""
    thin = ACCESS.root_wall_thin_mm
    return graded(1.0001, 1.5, thin)[0] == COST and graded(0.5, 1.5, thin)[0] == BAD


def a_small_rest() -> bool:
    """3 percent of a roof are nothing, a tenth costs."""
    small = ACCESS.roof_small_share
    return graded(0.03, small, 0.5)[0] == NEED and graded(0.1001, small, 0.5)[0] == COST


def a_large_rest() -> bool:
    """Two fifths of a roof still cost only, three fifths are no unroofing."""
    large = ACCESS.roof_large_share
    return graded(0.3999, 0.06, large)[0] == COST and graded(0.6, 0.06, large)[0] == BAD


def a_small_drift() -> bool:
    """Over 6 mm, 3 degrees drift 0.31 mm, which is nothing; 7 degrees drift 0.74 mm, which costs."""
    small = ACCESS.drift_small_mm
    return graded(0.3, small, 1.5)[0] == NEED and graded(0.7001, small, 1.5)[0] == COST


def a_large_drift() -> bool:
    """A chamber 2.5 mm wide is still met 1.25 mm off its middle, one of 3.5 mm no more 1.75 mm off."""
    large = ACCESS.drift_large_mm
    return graded(1.2499, 0.5, large)[0] == COST and graded(1.75, 0.5, large)[0] == BAD


def _through(columns: int) -> bool:
    """Whether a cut through so many columns of the box's bottom is called a perforation."""
    plan = AccessPlan(
        ((0.0, 0.0), (0.15 * columns, 0.0), (0.15 * columns, 0.15), (0.0, 0.15)), 12.5, UPRIGHT, flare_deg=0
    )
    return any(finding.kind == "perforation" for finding in judge_access(box(), plan).findings)


def a_few_columns() -> bool:
    """Five columns through the bottom are a perforation, four are grain."""
    return _through(5) and not _through(4)


def _mark_off(off_mm: float) -> bool:
    """Whether a mark so far off the box's orifice, which lies in its middle, stands for it."""
    return judge_marks(box().block.tooth, ((0.0, off_mm),)).orifices[0].mark == 1


def a_mark_stands_for_an_orifice() -> bool:
    """Half a millimetre off does; 1.2 mm, as far as a second mesiobuccal orifice lies aside of the first, does not."""
    return _mark_off(0.5) and not _mark_off(1.2)


def distances_count_as_equal() -> bool:
    """Marks 1.5 and 2.0 mm on either side of the mirror line keep it, 1.5 and 2.5 mm do not."""
    one, other = (
        {name: kept for name, _, kept, _ in judge_marks(box().block.tooth, ((0.0, 1.5), (0.0, -far))).laws}
        for far in (2.0, 2.5)
    )
    return one["mirror line"] and not other["mirror line"]


PINS: dict[str, Callable[[], bool]] = {
    "shaft_mm": half_a_shaft,
    "margin_mm": a_spare_width_of_one_cell,
    "mouth_mm": walls_are_measured_at_the_feet_of_the_cusps,
    "edge_mm": an_edge_is_kept,
    "flare_deg": the_flare_of_a_tapered_bur,
    "rim_mm": a_ridge_is_kept,
    "straight_deg": straight_enough,
    "bent_deg": too_bent,
    "beyond_small_share": little_beyond,
    "beyond_large_share": much_beyond,
    "crown_wall_sound_mm": a_sound_crown,
    "crown_wall_weak_mm": a_weak_crown,
    "root_wall_sound_mm": a_safe_root,
    "root_wall_thin_mm": a_thin_root,
    "roof_small_share": a_small_rest,
    "roof_large_share": a_large_rest,
    "drift_small_mm": a_small_drift,
    "drift_large_mm": a_large_drift,
    "perforated_mm2": a_few_columns,
    "mark_mm": a_mark_stands_for_an_orifice,
    "law_mm": distances_count_as_equal,
}
MARGIN = 0.02  # share of the range by which a number is moved inside and outside of its ends


def holds(name: str, value: float) -> bool:
    with moved(name, value):
        return PINS[name]()


def test_every_number_is_pinned():
    assert set(PINS) == set(ACCESS_NOTES)
    assert all(pin.__doc__ for pin in PINS.values())


@pytest.mark.parametrize("name", PINS)
def test_a_check_holds_within_the_range_and_fails_beyond_either_end(name):
    note = ACCESS_NOTES[name]
    step = MARGIN * (note.most - note.least)
    assert PINS[name]()
    assert holds(name, note.least + step)
    assert holds(name, note.most - step)
    assert not holds(name, note.least - step)
    assert not holds(name, note.most + step)
    assert getattr(ACCESS, name) == note.value


def table() -> dict:
    return tomllib.loads(Path(constants.__file__).with_name("access.toml").read_text(encoding="utf-8"))


@pytest.mark.parametrize(
    ("spoil", "said"),
    [
        (lambda rows: rows.pop("shaft_mm"), "lacks shaft_mm"),
        (lambda rows: rows.update(speed={"value": 1}), "does not use: speed"),
        (lambda rows: rows["shaft_mm"].update(value=1.0), "shaft_mm: 1 lies outside its range"),
        (lambda rows: rows["shaft_mm"].update(basis="hearsay"), "none of published"),
        (lambda rows: rows["shaft_mm"].pop("source"), "needs its source"),
        (lambda rows: rows["shaft_mm"].pop("unit"), "shaft_mm"),
    ],
)
def test_a_spoilt_file_is_refused_with_the_entry_at_fault(spoil, said):
    rows = table()
    spoil(rows)
    with pytest.raises(ValueError, match=said):
        parsed(rows)
