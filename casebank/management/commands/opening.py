"""`manage.py opening CASEFILE [--write]`: the usual opening of a case's tooth, as its file may hold it."""

import os
from argparse import ArgumentParser
from pathlib import Path
from typing import Any

from casebank.casefile import FileRefused, parse_document, read_document
from casebank.casefile.access_usual import usual_access
from casebank.casefile.document import Opening
from casebank.casefile.opened import judged
from casebank.casefile.opening_words import opening_record, verdict_words
from casebank.management.plain import FileCommand, as_json
from casebank.management.splicing import with_field


class Command(FileCommand):
    help = (
        "Print the usual opening of a case file's tooth as the JSON of its field `opening`, and beside it, on standard "
        "error, what it comes to. Needs no database."
    )

    def add_arguments(self, parser: ArgumentParser) -> None:
        parser.add_argument("casefile", type=Path)
        parser.add_argument("--write", action="store_true", help="put it into the file; all else stays as it is")

    def work(self, **options: Any) -> None:
        path = options["casefile"]
        document = read_document(path)
        try:
            record = opening_record(usual_access(document.anatomy))
        except ValueError as trouble:
            raise FileRefused(f"{path.name}, anatomy: {trouble}") from trouble
        opening = Opening.model_validate_json(as_json(record))
        if options["write"]:
            _write(path, record)
        self.stdout.write(as_json(record))
        self.stderr.write("\n".join(verdict_words(judged(document, opening.plan()))), ending="\n")


def _write(path: Path, record: dict[str, Any]) -> None:
    content = with_field(path.read_text(encoding="utf-8"), "opening", record)
    parse_document(content.encode(), name=path.name)
    beside = path.with_name(f".{path.name}.new")
    try:
        beside.write_text(content, encoding="utf-8")
        os.replace(beside, path)
    except OSError as trouble:
        raise FileRefused(f"{path.name}: cannot be written ({trouble.strerror}): check the folder") from trouble
