"""A grade as a plain record, ready for JSON."""

from dataclasses import asdict
from typing import Any

from assess.grading.grade import Grade


def grade_record(result: Grade) -> dict[str, Any]:
    """`percent`, `stages`, `criteria`, `unsafe`, `versions`, `bench` and `chair` of a grade.

    `bench` lists each observation with the task it would answer, and the canal where it is of one; `chair` holds
    minutes, in all and by what they went to.
    """
    return {
        "percent": result.percent,
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
    }
