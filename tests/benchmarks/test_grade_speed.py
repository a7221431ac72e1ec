"""How long the grade of one log takes, its bench replay included."""

import json
from pathlib import Path

from pydantic import TypeAdapter

from assess.grading import grade
from assess.log import AnyEvent
from casebank.casefile import read_document

FIXTURES = Path(__file__).parents[2] / "fixtures"


def test_grade_of_the_sound_log(benchmark):
    document = read_document(FIXTURES / "cases" / "leaning-abutment.case.json")
    record = json.loads((FIXTURES / "logs" / "leaning-abutment.sound.json").read_text(encoding="utf-8"))
    events = TypeAdapter(tuple[AnyEvent, ...]).validate_json(json.dumps(record["events"]))
    result = benchmark(grade, document, events)
    assert result.percent >= 85
