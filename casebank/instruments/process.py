"""How a canal was worked: observations computed from its record, each as a count met of a count asked.

The rules are common practice unless a source stands beside them. Nothing here weighs or scores.
"""

from collections.abc import Callable

from casebank.instruments import damage
from casebank.instruments.apical import gauge_in
from casebank.instruments.gauging import aim_mm, brackets, near_the_end
from casebank.instruments.iso3630 import hand_file
from casebank.instruments.mechanics import passive_stop_mm
from casebank.instruments.moves import CoronalFlare, FitCone, HandFile, Patency, Recapitulate
from casebank.instruments.observation import NOTHING_SHAPED, Observation
from casebank.instruments.record import (
    LARGEST_PATH_SIZE,
    PATH_SIZE,
    Record,
    Step,
    beyond_the_path,
    cuts,
    entered,
    instrument_of,
    is_rinse,
    reads_length,
    scouted_mm,
    shapes,
    through_the_foramen,
)
from casebank.instruments.teaching import TEACHING

LEAST_ABOVE_GAUGE, MOST_ABOVE_GAUGE = 5, 20


def path_verified(record: Record) -> Observation:
    """A loose size 10 before any engine file goes deeper (Ajina, Billis and Chong, Eur Endod J 2022)."""
    name = "path verified"
    early = beyond_the_path(record)
    if early:
        return Observation(name, 0, 1, "An engine file went deeper than a loose size 10 had been.", (_at(early),))
    if scouted_mm(record.steps) < record.shape.working_depth_mm - TEACHING.reading_mm:
        return Observation(name, 0, 1, "No size 10 was loose at length.")
    return Observation(name, 1, 1, "A size 10 was loose to length before an engine file went there.")


def length_read(record: Record) -> Observation:
    """Length read before shaping, and again after the flare; where no flare was made, after shaping."""
    name = "length read"
    readings = [step.number for step in record.steps if reads_length(step)]
    shaping = [step.number for step in record.steps if shapes(step)]
    flares = [step.number for step in record.steps if isinstance(step.move, CoronalFlare) and entered(step)]
    before = any(not shaping or reading < shaping[0] for reading in readings)
    turning_point = flares[-1] if flares else shaping[0] if shaping else 0
    again = any(reading > turning_point for reading in readings)
    said = f"Length read {'before' if before else 'not before'} shaping, {'and' if again else 'not'} again later."
    if not readings:
        said = "No length was ever read."
    return Observation(name, before + again, 2, said)


def irrigated_at_changes(record: Record) -> Observation:
    """A rinse between every two different instruments."""
    met, missed, rinsed = 0, [], False
    last: Step | None = None
    for step in record.steps:
        rinsed = rinsed or is_rinse(step)
        if not cuts(step):
            continue
        if last and instrument_of(last.move) != instrument_of(step.move):
            met += rinsed
            missed += [] if rinsed else [_at(step)]
        last, rinsed = step, False
    of = met + len(missed)
    said = f"Irrigated at {met} of {of} changes of instrument." if of else "There was no change of instrument."
    return Observation("irrigated at changes", met, max(of, 1), said, tuple(missed))


def recapitulated(record: Record) -> Observation:
    """A small file back at length after every use of a shaping file, before the next."""
    met, missed = 0, []
    open_step: Step | None = None
    for step in record.steps:
        if shapes(step):
            missed += [_at(open_step)] if open_step else []
            open_step = step
        elif open_step and _is_small_at_length(step, record.shape.working_depth_mm):
            met, open_step = met + 1, None
    missed += [_at(open_step)] if open_step else []
    of = met + len(missed)
    said = f"Recapitulated after {met} of {of} uses of a shaping file." if of else NOTHING_SHAPED
    return Observation("recapitulated", met, max(of, 1), said, tuple(missed))


def gauged_after_flaring(record: Record) -> Observation:
    """A gauge at the prepared length once the coronal part no longer grips (Wu 2002; Pecora 2005)."""
    name = "gauged after flaring"
    every = brackets(record)
    good = [
        bracket
        for bracket in every
        if (bracket.after_flare or bracket.after_shaping) and near_the_end(record, bracket.depth_mm)
    ]
    if good:
        sizes = ", then ".join(f"{bracket.size:02d}" for bracket in good)
        return Observation(name, 1, 1, f"Gauge {sizes}: the next larger stopped short.")
    if every:
        return Observation(name, 0, 1, "A gauge was taken, but not at the prepared length of a flared canal.")
    return Observation(name, 0, 1, "No size was shown to stop at length with the next larger short of it.")


def cone_fits(record: Record) -> Observation:
    """The last cone tried matches the largest file at length, goes there and holds.

    A cone that was gauged is as wide as its label says; of one from the box the label proves nothing, so its fit alone
    decides, whatever it is labelled.
    """
    name, end = "cone fits", record.lumen.terminus
    cones = [step for step in record.steps if isinstance(step.move, FitCone) and entered(step)]
    if not cones or not end:
        return Observation(name, 0, 1, "No cone was tried in a prepared canal.")
    step = cones[-1]
    assert isinstance(step.move, FitCone)
    if step.move.gauged and (step.move.size, step.move.taper) != (end.size, end.taper):
        prepared = f"{end.size:02d}/.{round(end.taper * 100):02d}"
        return Observation(name, 0, 1, f"The cone does not match the last file at length, {prepared}.", (_at(step),))
    if not step.reach.at_length or abs(aim_mm(step) - end.at_mm) > TEACHING.terminus_tolerance_mm:
        return Observation(name, 0, 1, "The cone does not go to the prepared length.", (_at(step),))
    if step.reach.hold != "snug":
        return Observation(name, 0, 1, "The cone is loose at the prepared length.", (_at(step),))
    if not step.move.gauged:
        return Observation(name, 1, 1, "The cone, whatever its label, holds at the prepared length.")
    return Observation(name, 1, 1, "The cone matches the last file and holds at the prepared length.")


def length_kept(record: Record) -> Observation:
    """A small file still reaches the foramen's region, and the prepared end lies near the working length."""
    name, shape, end = "length kept", record.shape, record.lumen.terminus
    if not any(shapes(step) for step in record.steps):
        return Observation(name, 0, 2, NOTHING_SHAPED)
    reach_mm = _small_file_mm(record)
    reaches = reach_mm >= shape.working_depth_mm - TEACHING.reading_mm
    off_mm = end.at_mm - shape.working_depth_mm if end else None
    prepared = off_mm is not None and abs(off_mm) <= TEACHING.terminus_tolerance_mm
    notes = [] if reaches else [f"A size 10 now stops {shape.length_mm - reach_mm:.1f} mm short of the foramen."]
    if off_mm is None:
        notes.append("No shaping file reached its length.")
    elif not prepared:
        notes.append(
            f"The prepared end lies {abs(off_mm):.1f} mm {'beyond' if off_mm > 0 else 'short of'} working length."
        )
    said = "Length was kept." if reaches and prepared else "Length was not kept."
    return Observation(name, reaches + prepared, 2, said, tuple(notes))


def patency_kept(record: Record) -> Observation:
    """A size 10 still passes to the foramen, and the foramen is as wide as it was."""
    name = "patency kept"
    if not any(shapes(step) for step in record.steps):
        return Observation(name, 0, 1, NOTHING_SHAPED)
    torn = [f"Step {step.number}: {event}." for step in record.steps for event in step.events if "foramen" in event]
    if torn:
        return Observation(name, 0, 1, "The foramen is not as it was.", tuple(torn))
    if _small_file_mm(record) < record.shape.length_mm - 0.05:
        return Observation(name, 0, 1, "A size 10 no longer passes to the foramen.")
    return Observation(name, 1, 1, "A size 10 passes to the foramen.")


def axis_kept(record: Record) -> Observation:
    """No ledge, strip, perforation or separated instrument."""
    name = "axis kept"
    if not any(shapes(step) for step in record.steps):
        return Observation(name, 0, 1, NOTHING_SHAPED)
    harm = [
        f"Step {step.number}: {event}." for step in record.steps for event in step.events if event in damage.OFF_AXIS
    ]
    said = "The canal left its axis or was obstructed." if harm else "The canal kept its axis."
    return Observation(name, 0 if harm else 1, 1, said, tuple(harm))


def walls_left(record: Record) -> Observation:
    """Wall towards the furcation and away from it nowhere thinner than the floor (Lim and Stock 1987, from memory)."""
    name, shape, lumen = "walls left", record.shape, record.lumen
    if not any(cuts(step) for step in record.steps):
        return Observation(name, 0, 2, "Nothing was done in this canal.")
    watched = max(1, lumen.count_to(shape.length_mm - TEACHING.wall_watch_ends_mm))
    said, notes = [], []
    for side, now_mm, was_mm in (
        ("towards the furcation", lumen.furcation_mm[:watched], shape.furcation_mm[:watched]),
        ("away from the furcation", lumen.outer_mm[:watched], shape.outer_mm[:watched]),
    ):
        at = int(now_mm.argmin())
        left_mm, there_mm = max(0.0, float(now_mm[at])), lumen.reading_of(float(shape.levels_mm[at]))
        said.append(f"{left_mm:.2f} mm {side} at {there_mm:.1f} mm")
        if left_mm < min(TEACHING.thin_wall_mm, float(was_mm.min())):
            notes.append(
                f"Canal {shape.name}: {left_mm:.2f} mm of wall {side} at {there_mm:.1f} mm, thinner than the "
                f"{TEACHING.thin_wall_mm:.1f} mm below which a strip threatens; it was {float(was_mm[at]):.2f} mm."
            )
    return Observation(name, 2 - len(notes), 2, f"Thinnest wall left: {' and '.join(said)}.", tuple(notes))


def size_suits(record: Record) -> Observation:
    """The prepared end is a few sizes above the canal's own gauge: enough to have cut it all round, and no more.

    The band is a teaching choice; a final size also weighs an oval section and irrigation.
    """
    name, end, gauge = "size suits", record.lumen.terminus, gauge_in(record.shape).size
    if end is None or gauge is None:
        return Observation(name, 0, 1, "No shaping file reached its length.")
    above = end.size - gauge
    said = f"The end is prepared to {end.size:02d}, where the canal itself holds a {gauge:02d} at length."
    return Observation(name, int(LEAST_ABOVE_GAUGE <= above <= MOST_ABOVE_GAUGE), 1, said)


def foramen_respected(record: Record) -> Observation:
    """Nothing larger than a size 10 through the foramen (teaching choice)."""
    name = "foramen respected"
    if not any(cuts(step) for step in record.steps):
        return Observation(name, 0, 1, "Nothing was done in this canal.")
    through = through_the_foramen(record)
    said = "Something larger than a size 10 went through the foramen." if through else "Nothing above 10 went through."
    return Observation(name, 0 if through else 1, 1, said, tuple(_at(step) for step in through))


OBSERVATIONS: tuple[Callable[[Record], Observation], ...] = (
    path_verified,
    length_read,
    irrigated_at_changes,
    recapitulated,
    gauged_after_flaring,
    cone_fits,
    length_kept,
    patency_kept,
    axis_kept,
    size_suits,
    foramen_respected,
)


def observe(record: Record) -> tuple[Observation, ...]:
    """Every observation of one canal."""
    return tuple(look(record) for look in OBSERVATIONS)


def _at(step: Step) -> str:
    return f"Step {step.number}: {step.felt.words}."


def _is_small_at_length(step: Step, working_depth_mm: float) -> bool:
    if not isinstance(step.move, HandFile | Recapitulate | Patency) or not entered(step):
        return False
    small = step.move.size <= LARGEST_PATH_SIZE
    return small and step.reach.tip_mm >= working_depth_mm - TEACHING.reading_mm


def _small_file_mm(record: Record) -> float:
    """Depth a pre-curved size 10 now slides to."""
    return passive_stop_mm(
        record.lumen,
        hand_file(PATH_SIZE),
        record.shape.length_mm,
        precurve_per_mm=TEACHING.recapitulation_precurve_per_mm,
    )
