"""`manage.py tally [--repair]`: count every assigned case anew from its grades; say which tallies were right."""

from argparse import ArgumentParser
from typing import Any

from django.core.management.base import BaseCommand, CommandError
from django.db import transaction

from assess.actions import recount
from assess.models import AssignedCase


class Command(BaseCommand):
    help = "Compare every tally with the grades it counts. Exit code 1 if any differs; --repair writes it anew."

    def add_arguments(self, parser: ArgumentParser) -> None:
        parser.add_argument("--repair", action="store_true", help="write what was counted over tallies that differ")

    def handle(self, *args: Any, **options: Any) -> None:
        repair: bool = options["repair"]
        assigned = list(AssignedCase.objects.select_related("edition__case", "assignment").defer("edition__content"))
        wrong = [one for one in assigned if not _is_right(one, repair=repair)]
        for one in wrong:
            self.stdout.write(f"{one} ({one.assignment.public_id}): {'counted anew' if repair else 'differs'}")
        whole, differing = len(assigned), len(wrong)
        if wrong and not repair:
            sentence = f"{differing} of {whole} assigned cases differ from their grades: run it with --repair"
            raise CommandError(sentence, returncode=1)
        self.stdout.write(f"{whole} assigned cases counted: {whole - differing} were right, {differing} repaired")


def _is_right(assigned: AssignedCase, *, repair: bool) -> bool:
    """Whether an assigned case's tallies stand as its grades say; what was counted is kept only for a repair."""
    with transaction.atomic():
        right = recount(assigned)
        if not repair:
            transaction.set_rollback(True)
        return right
