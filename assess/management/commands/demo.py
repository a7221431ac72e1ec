"""`manage.py demo`: a filled bank on this machine, ready to try: migrate, load, make a school up, warm, serve."""

from argparse import ArgumentParser
from collections.abc import Iterable
from threading import Thread
from typing import Any

from django.conf import settings
from django.core.management import call_command
from django.core.management.base import BaseCommand, CommandError
from django.utils import timezone

from assess.management.school import PASSWORD, SHORT, WHOLE, make_people, set_work, sittings, work_all
from casebank.casefile import Document
from casebank.casefile.obtainable import warm_figures
from casebank.films import film_png
from casebank.models import Case
from casebank.radiograph import Receptor, View

BAR = 30  # characters


class Command(BaseCommand):
    help = "Prepare a demo on this machine, with invented accounts, cases and cohorts, and serve it."

    def add_arguments(self, parser: ArgumentParser) -> None:
        parser.add_argument("--prepare-only", action="store_true", help="stop before serving")
        parser.add_argument("--full", action="store_true", help="120 students on every case; goes on where it stopped")
        parser.add_argument("--port", type=int, default=8000)

    def handle(self, *args: Any, **options: Any) -> None:
        port: int = options["port"]
        if not 1024 <= port <= 65535:
            raise CommandError(f"port {port} cannot be served: choose one from 1024 to 65535", returncode=2)
        try:
            self._prepare(full=options["full"])
        except KeyboardInterrupt as stop:
            raise CommandError("stopped; what is done is kept: run the same command again to go on") from stop
        school = WHOLE if options["full"] else SHORT
        names = [student.username for student in school.students()]
        self.stdout.write(
            f"\nThe demo is at http://127.0.0.1:{port}/\n"
            f"Sign in as {names[0]} … {names[-1]}, tutor1 … tutor4 or director1, password {PASSWORD}\n"
            "Everything in it is invented. Teaching only, not for the care of a patient.\n"
        )
        if not options["prepare_only"]:
            documents = [case.editions.latest("number").document for case in Case.objects.open_to_work()]
            Thread(target=warm_sight, args=(documents,), daemon=True).start()
            Thread(target=call_command, args=("work_regrades",), kwargs={"processes": 1}, daemon=True).start()
            settings.DEBUG = False  # a demo shows what a student would see, never a page for developers
            call_command("runserver", f"127.0.0.1:{port}", "--noreload")

    def _prepare(self, *, full: bool) -> None:
        call_command("migrate", verbosity=0)
        call_command("load_cases")
        call_command("warm")
        self._make_up(full=full)
        warm_films()

    def _make_up(self, *, full: bool) -> None:
        """A school with its work; each attempt is stored for itself, so that a stopped run goes on where it was."""
        school = WHOLE if full else SHORT
        programme = make_people(school)
        set_work(programme, now=timezone.now())
        ahead = sittings(school, programme)
        for done in work_all(ahead):
            self._show(done, len(ahead))
        if ahead:
            self.stdout.write("")

    def _show(self, done: int, whole: int) -> None:
        if not self.stdout.isatty() and done < whole:
            return  # a log file gets one line at the end
        filled = BAR * done // whole
        self.stdout.write(f"\rworking cases [{'#' * filled}{'.' * (BAR - filled)}] {done} of {whole}", ending="")
        self.stdout.flush()


def warm_sight(documents: Iterable[Document]) -> None:
    """Work out beside the serving what films of each case show, so that no grade has to wait for it."""
    for document in documents:
        warm_figures(document)


def warm_films() -> None:
    """Compile the renderer and render the films that every student sees first."""
    for case in Case.objects.open_to_work():
        document = case.editions.latest("number").document
        for film in document.films:
            view = View(horizontal_deg=film.horizontal_deg, vertical_deg=film.vertical_deg, roll_deg=film.roll_deg)
            film_png(document.anatomy, view, Receptor())
