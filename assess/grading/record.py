"""A grade as a plain record, ready for JSON."""

from dataclasses import asdict
from typing import Any

from assess.grading.grade import Grade


def grade_record(result: Grade) -> dict[str, Any]:
    """`percent`, `stages`, `criteria`, `unsafe` and `versions` of a grade."""
    return {
        "percent": result.percent,
        "stages": dict(result.stages),
        "criteria": [asdict(criterion) for criterion in result.criteria],
        "unsafe": [asdict(step) for step in result.unsafe],
        "versions": dict(result.versions),
    }
