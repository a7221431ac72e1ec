"""`manage.py load_cases`: publish every case that comes with the program; what is there already stays as it is."""

from pathlib import Path
from typing import Any

from django.conf import settings
from django.core.management.base import BaseCommand, CommandError
from django.utils import timezone

from casebank.actions import publish_edition
from casebank.casefile import FileRefused, read_bytes


class Command(BaseCommand):
    help = "Publish every case in fixtures/cases. Running it again changes nothing."

    def handle(self, *args: Any, **options: Any) -> None:
        paths = sorted((Path(settings.BASE_DIR) / "fixtures" / "cases").glob("*.case.json"))
        if not paths:
            raise CommandError("there is no case in fixtures/cases: restore the folder", returncode=2)
        for path in paths:
            now = timezone.now()
            try:
                edition = publish_edition(content=read_bytes(path), by=None, now=now)
            except FileRefused as trouble:
                raise CommandError(f"{path.name}: {trouble}", returncode=2) from trouble
            done = "published" if edition.published_at == now else "was there already"
            self.stdout.write(f"{edition}: {done}")
