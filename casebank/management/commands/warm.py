"""`manage.py warm`: compile the renderer and render one film, so that nobody waits for it after a deploy."""

import time
from pathlib import Path
from typing import Any

from django.conf import settings

from casebank.casefile import FileRefused, read_document
from casebank.management.plain import FileCommand
from casebank.radiograph import take


class Command(FileCommand):
    help = "Compile the renderer into the folder for compiled code and render one film. Needs no database."

    def work(self, **options: Any) -> None:
        cases = sorted((Path(settings.BASE_DIR) / "fixtures" / "cases").glob("*.case.json"))
        if not cases:
            raise FileRefused("fixtures/cases holds no case: a film of one is needed to compile the renderer")
        anatomy = read_document(cases[0]).anatomy
        start = time.perf_counter()
        picture = take(anatomy).png()  # not from the folder of films: what is there needs no compiled code
        taken_s = time.perf_counter() - start
        self.stdout.write(f"The renderer is warm: a film of {len(picture) / 1000:.0f} kB after {taken_s:.1f} s.")
