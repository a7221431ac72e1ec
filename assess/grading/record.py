"""A grade as a plain record, ready for JSON."""

from dataclasses import asdict
from typing import Any

from assess.grading.confidence import RIGHT_FROM
from assess.grading.grade import Grade


def grade_record(result: Grade) -> dict[str, Any]:
    """`percent`, `stages`, `criteria`, `unsafe`, `versions`, `bench`, `chair`, `skill` and `confidence` of a grade.

    `axes` holds the percent of each axis of the rubric. `bench` lists each observation with the task it would answer,
    and the canal where it is of one; `chair` holds minutes, in all and by what they went to. `skill` is negative below
    guessing and null where nothing can be told; `confidence` has means only where something was rated; `volume` is
    null where none was asked for. Records of graders before version 5 lack axes, skill, confidence and volume.
    """
    return {
        "percent": result.percent,
        "axes": dict(result.axes),
        "stages": dict(result.stages),
        "criteria": [asdict(criterion) for criterion in result.criteria],
        "unsafe": [asdict(step) for step in result.unsafe],
        "versions": dict(result.versions),
        "bench": [
            {"task": task, "canal": task.partition(".")[2], **asdict(seen)} for task, seen in result.observed.items()
        ],
        "chair": {
            "minutes": round(result.chair.minutes, 2),
            "findings": result.chair.findings,
            "films": result.chair.films,
            "moves": {kind: round(minutes, 2) for kind, minutes in result.chair.by_kind.items()},
        },
        "skill": {
            "skill": result.skill.points.skill,
            **asdict(result.skill.points),
            "table": result.skill.table,
            "population": result.skill.population,
        },
        "confidence": {
            "rated": result.confidence.rated,
            "right": result.confidence.right,
            "points": result.confidence.points,
            "mean": result.confidence.mean,
            "honest": result.confidence.honest,
            "right_from": RIGHT_FROM,
            "steps": {name: asdict(step) for name, step in result.confidence.steps.items()},
            "sure_and_wrong": list(result.confidence.sure_and_wrong),
            "unsure_and_right": list(result.confidence.unsure_and_right),
        },
        "volume": asdict(result.volume) if result.volume else None,
    }
