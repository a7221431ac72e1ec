"""The bench of an attempt, replayed once: what was observed in each canal and in the whole, and how long it took."""

from collections.abc import Callable, Mapping

from assess.grading.economy import extra_films
from assess.grading.volume import unjustified_films
from assess.log import State
from casebank.casefile import Document
from casebank.instruments import Bench, Observation, Record, process
from casebank.instruments.chair_time import ChairTime, chair_time
from casebank.instruments.disinfection import disinfection_reach
from casebank.instruments.economy import economy

Observed = Mapping[str, Observation]

ECONOMY = "economy"
LOOKS: Mapping[
    str, Callable[[Record], Observation]
] = {  # the rubric's criterion, and what it looks for in a canal's record
    "path-before-engine": process.path_verified,
    "length-read": process.length_read,
    "irrigation": process.irrigated_at_changes,
    "recapitulation": process.recapitulated,
    "length-kept": process.length_kept,
    "axis-kept": process.axis_kept,
    "walls-left": process.walls_left,
    "gauge": process.gauged_after_flaring,
    "patency": process.patency_kept,
    "disinfection-reach": disinfection_reach,
    "cone-fit": process.cone_fits,
}


def observed_in(bench: Bench, document: Document, state: State) -> Observed:
    """Each observation by task, such as "gauge.MB" or "economy"; a canal in which nothing was done has none."""
    observed = {
        f"{criterion}.{canal}": look(bench.record_of(canal))
        for canal in bench.canals
        if bench.record_of(canal).steps
        for criterion, look in LOOKS.items()
    }
    if bench.record:
        observed[ECONOMY] = economy(
            bench,
            films=len(state.films),
            extra_films=extra_films(document, state),
            volume_films=unjustified_films(document, state),
        )
    return observed


def time_in_chair(bench: Bench, document: Document, state: State) -> ChairTime:
    """Minutes of the findings asked for, the further films and the bench."""
    findings = sum(finding.minutes for finding in document.chart if finding.letter in state.asked)
    return chair_time(bench.record, films=len(state.films), finding_minutes=findings)
