"""Commands that work on files alone: no database, and every refusal is one sentence with exit code 2."""

import json
from abc import abstractmethod
from typing import Any

from django.core.management.base import BaseCommand, CommandError

from casebank.casefile import FileRefused


class FileCommand(BaseCommand):
    """Base of the file commands; a subclass does its work in `work` and raises FileRefused for what it cannot use."""

    requires_system_checks: list[str] = []

    def handle(self, *args: Any, **options: Any) -> None:
        try:
            self.work(**options)
        except FileRefused as trouble:
            raise CommandError(str(trouble), returncode=2) from trouble

    @abstractmethod
    def work(self, **options: Any) -> None: ...


def as_json(record: Any) -> str:
    """A record as readable JSON."""
    return json.dumps(record, indent=2, ensure_ascii=False, allow_nan=False)
