"""`manage.py grade CASEFILE --log LOG.json`: grade one log against its case, as JSON."""

from argparse import ArgumentParser
from pathlib import Path
from typing import Any

from assess.grading import AnswerRefused, grade, grade_record
from assess.log import read_log
from casebank.casefile import FileRefused, read_case
from casebank.management.plain import FileCommand, as_json


class Command(FileCommand):
    help = "Grade a log against its case file and print the result as JSON. Needs no database."

    def add_arguments(self, parser: ArgumentParser) -> None:
        parser.add_argument("casefile", type=Path)
        parser.add_argument("--log", type=Path, required=True)

    def work(self, **options: Any) -> None:
        document, _ = read_case(options["casefile"])
        log = read_log(options["log"], case=document.slug)
        try:
            result = grade(document, log.events)
        except AnswerRefused as trouble:
            raise FileRefused(f"{options['log'].name}, {trouble}") from trouble
        self.stdout.write(as_json(grade_record(result)))
