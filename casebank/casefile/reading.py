"""A case document from bytes: every refusal is one sentence that names file, field and what to do."""

import json
from pathlib import Path
from typing import Any, TypeVar

from pydantic import BaseModel, ValidationError

from casebank.casefile.document import SCHEMA_VERSION, Document

GREATEST_BYTES = 2_000_000
MISSING = frozenset({"missing", "missing_argument", "missing_keyword_only_argument"})

Model = TypeVar("Model", bound=BaseModel)


class FileRefused(ValueError):
    """A file that cannot be used; the message names file and field and says what to do."""


def read_document(path: Path) -> Document:
    """The case document in a file. FileRefused if it is missing, too large, no JSON, or no consistent case."""
    return parse_document(read_bytes(path), name=path.name)


def parse_document(content: bytes, *, name: str) -> Document:
    """The case document in some bytes; `name` is what the messages call it."""
    record = parse_object(content, name=name)
    version = record.get("schema_version")
    if version != SCHEMA_VERSION:
        raise FileRefused(wrong_version(version, name=name))
    return validate(Document, content, name=name)


def wrong_version(version: object, *, name: str) -> str:
    """What is said of a case file written for another version of the schema."""
    return (
        f"{name}, schema_version: {version!r} is not the version this program reads ({SCHEMA_VERSION}): "
        "export the case again with a matching program, or convert the file"
    )


def read_bytes(path: Path) -> bytes:
    """A file's content, refused in words if it cannot be read or is far too large."""
    try:
        if path.stat().st_size > GREATEST_BYTES:
            raise FileRefused(
                f"{path.name}: larger than {GREATEST_BYTES // 1_000_000} MB, so it is no such file: check the path"
            )
        return path.read_bytes()
    except OSError as trouble:
        raise FileRefused(f"{path.name}: cannot be read ({trouble.strerror}): check the path") from trouble


def parse_object(content: bytes, *, name: str) -> dict[str, Any]:
    """The JSON object in some bytes; a repeated key, a NaN or another kind of value is refused."""
    try:
        record = json.loads(content, object_pairs_hook=_once_each, parse_constant=_no_constant)
    except UnicodeDecodeError as trouble:
        raise FileRefused(f"{name}: not UTF-8 text: save it as UTF-8") from trouble
    except json.JSONDecodeError as trouble:
        raise FileRefused(
            f"{name}, line {trouble.lineno}: not valid JSON ({trouble.msg}): correct it there"
        ) from trouble
    except (RecursionError, ValueError) as trouble:
        raise FileRefused(f"{name}: {trouble}") from trouble
    if not isinstance(record, dict):
        raise FileRefused(f"{name}: the file must hold one JSON object")
    return record


def validate(model: type[Model], content: bytes, *, name: str) -> Model:
    """Bytes as a pydantic model; the first error becomes the message."""
    try:
        return model.model_validate_json(content)
    except ValidationError as trouble:
        raise FileRefused(f"{name}, {explain(trouble, json.loads(content))[0]}") from trouble


def explain(trouble: ValidationError, record: Any) -> list[str]:
    """One sentence an error: field, what is wrong, what to do. `record` is what was validated."""
    return [
        f"{_field(error['loc'], record, named=error['type'] in MISSING)}: {_sentence(error['type'], error['msg'])}"
        for error in trouble.errors(include_url=False)
    ]


def _field(location: tuple[int | str, ...], record: Any, *, named: bool) -> str:
    """The way to a value as its author sees it; the validator's own names for variants are left out.

    `named` says that the last step is the name of a value that is not there.
    """
    path, here = "", record
    for place, step in enumerate(location):
        if isinstance(step, int):
            path += f"[{step}]"
            here = here[step] if isinstance(here, list) and step < len(here) else None
        elif (isinstance(here, dict) and step in here) or (named and place == len(location) - 1):
            path += f".{step}"
            here = here.get(step) if isinstance(here, dict) else None
    return path.lstrip(".") or "whole file"


def _sentence(kind: str, message: str) -> str:
    match kind:
        case "extra_forbidden" | "unexpected_keyword_argument":
            return "this key is not known here: remove it or correct its spelling"
        case _ if kind in MISSING:
            return "missing: add it"
        case "value_error":
            return message.removeprefix("Value error, ")
        case _:
            return f"{message[:1].lower()}{message[1:]}: correct the value"


def _once_each(pairs: list[tuple[str, Any]]) -> dict[str, Any]:
    record: dict[str, Any] = {}
    for key, value in pairs:
        if key in record:
            raise ValueError(f"the key {key!r} stands twice in one object: keep one")
        record[key] = value
    return record


def _no_constant(word: str) -> float:
    raise ValueError(f"{word} is not a number a file may hold: give a finite number")
