"""`manage.py case_schema`: the JSON Schema of a case file."""

from typing import Any

from casebank.casefile import Document
from casebank.management.plain import FileCommand, as_json


class Command(FileCommand):
    help = "Print the JSON Schema of a case file. Needs no database."

    def work(self, **options: Any) -> None:
        self.stdout.write(as_json(Document.model_json_schema()))
