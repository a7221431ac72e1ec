"""Reference answers as a plain record, ready for JSON."""

from dataclasses import asdict
from typing import Any

from casebank.casefile.document import Document
from casebank.casefile.reference import Reference
from casebank.rubric import Criterion

Record = dict[str, Any]


def reference_record(document: Document, reference: Reference) -> Record:
    """Every task of a case with its reference and working, and the difficulty judged factor by factor."""
    return {
        "case": document.slug,
        "rubric": {"id": reference.rubric.id, "version": reference.rubric.version},
        "criteria": {
            "id": reference.criteria.name,
            "edition": reference.criteria.edition,
            "sha256": reference.criteria.sha256,
        },
        "difficulty": {
            "overall": asdict(reference.judgement.overall),
            "points": asdict(reference.judgement.points) if reference.judgement.points else None,
            "factors": [asdict(factor) for factor in reference.judgement.factors],
            "silent": list(reference.judgement.silent),
        },
        "answers": [
            {
                "task": task.id,
                "stage": task.criterion.stage,
                "kind": task.criterion.kind,
                "key_type": task.criterion.key_type,
                "weight": task.weight,
                "reference": plain(asdict(reference.answers[task.id].value)) | _unit(task.criterion),
                "working": list(reference.answers[task.id].working),
            }
            for task in reference.tasks
        ],
    }


def _unit(criterion: Criterion) -> Record:
    unit = getattr(criterion.rule, "unit", None)
    return {"unit": unit} if unit else {}


def plain(value: Any) -> Any:
    """Sets as sorted lists, mappings and sequences as JSON has them."""
    if isinstance(value, dict):
        return {str(key): plain(entry) for key, entry in value.items()}
    if isinstance(value, frozenset | set):
        return sorted(value)
    if isinstance(value, list | tuple):
        return [plain(entry) for entry in value]
    return value
