"""`manage.py load_cases`: publish case files, by default those that come with the program; the same again stays."""

from argparse import ArgumentParser
from collections.abc import Iterable, Iterator
from pathlib import Path
from typing import Any

from django.conf import settings
from django.core.management.base import BaseCommand, CommandError
from django.utils import timezone

from casebank.actions import publish_edition
from casebank.casefile import FileRefused, read_bytes
from casebank.casefile.dry_run import dry_run

PATTERN = "*.case.json"


class Command(BaseCommand):
    help = "Publish case files. Running it again changes nothing."

    def add_arguments(self, parser: ArgumentParser) -> None:
        parser.add_argument("paths", nargs="*", help=f"files, or folders that hold {PATTERN}; fixtures/cases if none")
        parser.add_argument("--check", action="store_true", help="say what is wrong and store nothing")

    def handle(self, *args: Any, **options: Any) -> None:
        named = [Path(name) for name in options["paths"]] or [Path(settings.BASE_DIR) / "fixtures" / "cases"]
        refused = 0
        for path in case_files(named):
            try:
                self.stdout.write(self._checked(path) if options["check"] else self._published(path))
            except FileRefused as trouble:
                refused += 1
                self.stderr.write(str(trouble))
        if refused:
            raise CommandError(
                f"{refused} of the files cannot be published: correct what is named above and run this again",
                returncode=2,
            )

    def _published(self, path: Path) -> str:
        now = timezone.now()
        edition = publish_edition(content=read_bytes(path), by=None, now=now, name=path.name)
        done = "published" if edition.published_at == now else "was there already"
        return f"{edition}: {done}"

    def _checked(self, path: Path) -> str:
        tried = dry_run(read_bytes(path), name=path.name)
        if troubles := (*tried.errors, *tried.obstacles):
            raise FileRefused("\n".join(troubles))
        return f"{path.name}: can be published"


def case_files(paths: Iterable[Path]) -> Iterator[Path]:
    """The files named, those of a folder in order. CommandError for a folder without any."""
    for path in paths:
        if not path.is_dir():
            yield path
            continue
        found = sorted(path.glob(PATTERN))
        if not found:
            raise CommandError(f"there is no {PATTERN} in {path}: name a folder with case files", returncode=2)
        yield from found
