"""`manage.py demo`: a filled bank on this machine, ready to try: migrate, load, warm the renderer, serve."""

from argparse import ArgumentParser
from typing import Any

from django.conf import settings
from django.core.management import call_command
from django.core.management.base import BaseCommand, CommandError
from django.db import transaction

from casebank.films import film_png
from casebank.models import Case, Membership, Programme, User
from casebank.radiograph import Receptor, View

PASSWORD = "212-steps-up"
PROGRAMME = {"slug": "odontorium", "name": "The Odontorium at Quossop Landing", "time_zone": "Atlantic/Faroe"}
ACCOUNTS = {
    "student": [f"student{number:02d}" for number in range(1, 25)],
    "instructor": [f"tutor{number}" for number in range(1, 5)],
    "director": ["director1"],
}


class Command(BaseCommand):
    help = "Prepare a demo on this machine, with invented accounts and cases, and serve it."

    def add_arguments(self, parser: ArgumentParser) -> None:
        parser.add_argument("--prepare-only", action="store_true", help="stop before serving")
        parser.add_argument("--port", type=int, default=8000)

    def handle(self, *args: Any, **options: Any) -> None:
        port: int = options["port"]
        if not 1024 <= port <= 65535:
            raise CommandError(f"port {port} cannot be served: choose one from 1024 to 65535", returncode=2)
        call_command("migrate", verbosity=0)
        call_command("load_cases")
        make_accounts()
        warm_films()
        self.stdout.write(
            f"\nThe demo is at http://127.0.0.1:{port}/\n"
            f"Sign in as student01 … student24, tutor1 … tutor4 or director1, password {PASSWORD}\n"
            "Everything in it is invented. Teaching only, not for the care of a patient.\n"
        )
        if not options["prepare_only"]:
            settings.DEBUG = False  # a demo shows what a student would see, never a page for developers
            call_command("runserver", f"127.0.0.1:{port}", "--noreload")


@transaction.atomic
def make_accounts() -> None:
    """The demo's accounts, each in its role; those that are there stay as they are."""
    programme, _ = Programme.objects.get_or_create(slug=PROGRAMME["slug"], defaults=PROGRAMME)
    hashed = User()
    hashed.set_password(PASSWORD)  # one slow hash for all: the password is printed anyway
    for role, names in ACCOUNTS.items():
        for name in names:
            user, _ = User.objects.get_or_create(username=name, defaults={"password": hashed.password})
            Membership.objects.get_or_create(programme=programme, user=user, role=role)


def warm_films() -> None:
    """Compile the renderer and render the films that every student sees first."""
    for case in Case.objects.open_to_work():
        document = case.editions.latest("number").document
        for film in document.films:
            view = View(horizontal_deg=film.horizontal_deg, vertical_deg=film.vertical_deg, roll_deg=film.roll_deg)
            film_png(document.anatomy, view, Receptor())
