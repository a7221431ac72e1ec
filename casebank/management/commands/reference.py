"""`manage.py reference CASEFILE`: the reference answers of a case with their working, as JSON."""

from argparse import ArgumentParser
from pathlib import Path
from typing import Any

from casebank.casefile import read_case, reference_record
from casebank.management.plain import FileCommand, as_json


class Command(FileCommand):
    help = "Print the reference answers of a case file with their working, as JSON. Needs no database."

    def add_arguments(self, parser: ArgumentParser) -> None:
        parser.add_argument("casefile", type=Path)

    def work(self, **options: Any) -> None:
        document, reference = read_case(options["casefile"])
        self.stdout.write(as_json(reference_record(document, reference)))
