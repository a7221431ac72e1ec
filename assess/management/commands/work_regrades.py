"""`manage.py work_regrades [--once]`: the worker that works out the regrades drafted on pages."""

import os
import time
from argparse import ArgumentParser
from typing import Any

from django.core.management.base import BaseCommand
from django.db import close_old_connections
from django.utils import timezone

from assess import actions
from assess.models import RegradeBatch

LOOK_EVERY_S = 2.0


class Command(BaseCommand):
    help = "Work out drafted regrades, and those whose worker died, until it is stopped. --once: until none is left."

    def add_arguments(self, parser: ArgumentParser) -> None:
        parser.add_argument("--once", action="store_true", help="stop when nothing is left to work out")
        parser.add_argument("--processes", type=int, default=os.cpu_count() or 1, help="how many at once")

    def handle(self, *args: Any, **options: Any) -> None:
        try:
            self._work(once=options["once"], processes=max(1, options["processes"]))
        except KeyboardInterrupt:
            self.stdout.write("stopped; what is worked out is kept, and the next worker goes on after two minutes")

    def _work(self, *, once: bool, processes: int) -> None:
        while True:
            batch = actions.next_regrade(timezone.now())
            if batch is not None:
                self._work_out(batch, processes)
            elif once:
                return
            else:
                time.sleep(LOOK_EVERY_S)
                close_old_connections()  # the database may have been started anew meanwhile

    def _work_out(self, batch: RegradeBatch, processes: int) -> None:
        try:
            batch = actions.work_out(batch, processes=processes)
        except Exception as trouble:  # it is said in the batch as well; the next one is not to wait for it
            self.stderr.write(f"{batch}: {trouble}")
        else:
            self.stdout.write(f"{batch}: {batch.done} attempts, {batch.state}")
