"""`manage.py regrade CASE [--edition N] [--apply --reason …] [--undo BATCH --reason …]`: preview first, then apply."""

import os
import uuid
from argparse import ArgumentParser
from typing import Any

from django.core.management.base import BaseCommand, CommandError
from django.utils import timezone

from assess import actions
from assess.actions.regrading import out_of_date
from assess.models import OPEN_STATES, Attempt, Mode, RegradeBatch, RegradeState
from assess.presenting.regrades import moved_words, preview
from casebank.models import Case, Edition, Programme


class Command(BaseCommand):
    help = (
        "Grade a case's finished attempts again. Prints what would move; --apply makes it stand, --undo takes it back."
    )

    def add_arguments(self, parser: ArgumentParser) -> None:
        parser.add_argument("case", help="the case's name in addresses, such as leaning-abutment")
        parser.add_argument("--edition", type=int, help="the edition to grade under; without it, the newest")
        parser.add_argument("--programme", help="the programme's name in addresses; needed if there are several")
        parser.add_argument("--cut", type=float, help="a line in percent: say how many cross it")
        parser.add_argument("--apply", action="store_true", help="make the grades stand; needs --reason")
        parser.add_argument("--undo", type=uuid.UUID, metavar="BATCH", help="make the former grades stand again")
        parser.add_argument("--reason", default="", help="why; students read it beside their grade")

    def handle(self, *args: Any, **options: Any) -> None:
        if (options["apply"] or options["undo"]) and not options["reason"].strip():
            raise CommandError("give --reason: students read it beside their grade", returncode=2)
        case = Case.objects.filter(slug=options["case"]).first()
        if case is None:
            raise CommandError(f"there is no case {options['case']}: check its name", returncode=2)
        try:
            if options["undo"]:
                self._undo(case, options)
            else:
                self._regrade(_edition(case, options["edition"]), _programme(options["programme"]), options)
        except (actions.Refused, ValueError) as trouble:
            raise CommandError(str(trouble), returncode=1) from trouble

    def _regrade(self, edition: Edition, programme: Programme, options: dict[str, Any]) -> None:
        batch = self._ready(edition, programme, options["cut"])
        self._print(batch)
        if options["apply"]:
            batch = actions.apply_regrade(batch=batch, reason=options["reason"], by=None, now=timezone.now())
            self.stdout.write(f"Applied. To undo it: regrade {edition.case.slug} --undo {batch.public_id} --reason …")
        else:
            self.stdout.write("Nothing of this counts yet: run it again with --apply and --reason.")

    def _undo(self, case: Case, options: dict[str, Any]) -> None:
        batch = RegradeBatch.objects.filter(case=case, public_id=options["undo"]).first()
        if batch is None:
            raise CommandError(f"{case.slug} has no regrade {options['undo']}: check the number", returncode=2)
        actions.undo_regrade(batch=batch, reason=options["reason"], by=None, now=timezone.now())
        self.stdout.write("Undone: the former grades stand again.")

    def _ready(self, edition: Edition, programme: Programme, cut: float | None) -> RegradeBatch:
        """The open regrade if it is of this kind and still holds; another is given up and drafted anew."""
        now, found = (
            timezone.now(),
            RegradeBatch.objects.filter(case=edition.case, programme=programme, state__in=OPEN_STATES),
        )
        batch = found.select_related("case", "programme", "edition").first()
        if batch and batch.state == RegradeState.COMPUTING:
            batch = actions.work_out(batch, processes=os.cpu_count() or 1, show=self._show)  # if its worker has died
            if batch.state == RegradeState.COMPUTING:
                raise CommandError("a worker has this regrade in hand: wait for it, or cancel it", returncode=1)
        fits = batch is not None and batch.edition == edition and batch.cut == cut
        if batch and not (fits and (batch.state == RegradeState.DRAFTED or not out_of_date(batch))):
            actions.cancel_regrade(batch=batch, by=None)
            batch = None
        batch = batch or actions.draft_regrade(edition=edition, programme=programme, cut=cut, by=None, now=now)
        batch = actions.work_out(batch, processes=os.cpu_count() or 1, show=self._show)
        if batch.state != RegradeState.READY:
            raise CommandError(f"this regrade is {batch.get_state_display()}: run it again", returncode=1)
        return batch

    def _print(self, batch: RegradeBatch) -> None:
        graded = Attempt.objects.filter(assigned__assignment__mode=Mode.GRADED)
        found = preview(batch, graded, timezone.now())
        title = f"Regrade {batch.public_id} of {batch.edition} for {batch.programme}, grader {batch.grader}"
        lines = [title, *(f"differs: {part}" for part in found.changed)]
        for sums in (*found.groups, found.whole):
            lines += [f"{sums.name}: {sentence}" for sentence in moved_words(sums, batch.cut)]
        lines += [f"task {task.label}: {task.up} gain points, {task.down} lose some" for task in found.tasks]
        lines += [f"{count} kept as they are: {sentence}" for sentence, count in found.troubles]
        for one in found.movers:
            after = "as before" if one.after is None else f"{one.after:.1f} %"
            lines.append(f"{one.student}: {one.before:.1f} % to {after} {one.crossing}{one.trouble}".rstrip())
        if found.more_movers:
            lines.append(f"and {found.more_movers} more")
        self.stdout.write("\n".join(lines))

    def _show(self, done: int, whole: int) -> None:
        if self.stdout.isatty():
            self.stdout.write(f"\rworked out {done} of {whole}", ending="\n" if done >= whole else "")
            self.stdout.flush()


def _edition(case: Case, number: int | None) -> Edition:
    editions = case.editions.select_related("case").order_by("-number")
    edition = (editions.filter(number=number) if number is not None else editions).first()
    if edition is None:
        numbers = ", ".join(str(one) for one in editions.values_list("number", flat=True)) or "none"
        raise CommandError(f"{case.slug} has no edition {number}: its editions are {numbers}", returncode=2)
    return edition


def _programme(slug: str | None) -> Programme:
    programmes = Programme.objects.filter(slug=slug) if slug else Programme.objects.all()
    found = list(programmes[:2])
    if len(found) != 1:
        known = ", ".join(Programme.objects.values_list("slug", flat=True)) or "none"
        raise CommandError(f"name one programme with --programme: there are {known}", returncode=2)
    return found[0]
