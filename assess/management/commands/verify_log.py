"""`manage.py verify_log [PUBLIC_ID]`: name every stored event that is not what it was when it was stored."""

import uuid
from argparse import ArgumentParser
from typing import Any

from django.core.management.base import BaseCommand, CommandError

from assess.models import Attempt, broken_links


class Command(BaseCommand):
    help = "Check the hash chain of one attempt or of all. Names each broken event; exit code 1 if there is any."

    def add_arguments(self, parser: ArgumentParser) -> None:
        parser.add_argument("public_id", nargs="?", type=uuid.UUID, help="one attempt; without it, every attempt")

    def handle(self, *args: Any, **options: Any) -> None:
        attempts = Attempt.objects.with_case().order_by("pk")
        if options["public_id"]:
            attempts = attempts.filter(public_id=options["public_id"])
            if not attempts.exists():
                raise CommandError(f"there is no attempt {options['public_id']}: check the number", returncode=2)
        broken = [sentence for attempt in attempts.iterator() for sentence in broken_links(attempt)]
        for sentence in broken:
            self.stdout.write(sentence)
        if broken:
            raise CommandError(f"{len(broken)} broken: restore what is named from a backup", returncode=1)
        self.stdout.write(f"{attempts.count()} attempts checked: every event is as it was stored")
