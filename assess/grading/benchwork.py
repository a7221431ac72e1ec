"""The bench of an attempt, replayed once: what was observed in each canal, and which steps were unsafe."""

from collections.abc import Callable, Mapping

from casebank.instruments import Bench, Observation, Record, process, unsafe_in

Observed = Mapping[str, Observation]

LOOKS: Mapping[
    str, Callable[[Record], Observation]
] = {  # the rubric's criterion, and what it looks for in a canal's record
    "path-before-engine": process.path_verified,
    "length-read": process.length_read,
    "irrigation": process.irrigated_at_changes,
    "recapitulation": process.recapitulated,
    "length-kept": process.length_kept,
    "axis-kept": process.axis_kept,
    "gauge": process.gauged_after_flaring,
    "patency": process.patency_kept,
    "cone-fit": process.cone_fits,
}


def observed_in(bench: Bench) -> Observed:
    """Each observation by task, such as "gauge.MB"; a canal in which nothing was done has none."""
    return {
        f"{criterion}.{canal}": look(bench.record_of(canal))
        for canal in bench.canals
        if bench.record_of(canal).steps
        for criterion, look in LOOKS.items()
    }


def unsafe_at(bench: Bench) -> list[tuple[str, str, str, str]]:
    """Each unsafe act at the bench: rule, place, sentence, basis."""
    return [
        (act.rule, f"canal {bench.record[act.step_number - 1].canal}, move {act.step_number}", act.sentence, act.basis)
        for act in unsafe_in(bench)
    ]
