"""`manage.py slices CASEFILE --plane axial --at -3 --out slice.png`: one section of a case's limited volume."""

from argparse import ArgumentParser
from pathlib import Path
from typing import Any

from casebank.casefile import FileRefused, read_document
from casebank.management.plain import FileCommand
from casebank.radiograph.cone_beam import doses, in_films
from casebank.radiograph.slice_planes import Cut, Volume
from casebank.radiograph.slices import take_slice


class Command(FileCommand):
    help = "Write one section of a limited cone-beam volume of a case's tooth as PNG. Needs no database."

    def add_arguments(self, parser: ArgumentParser) -> None:
        parser.add_argument("casefile", type=Path)
        parser.add_argument("--plane", choices=("axial", "coronal", "sagittal"), default="axial")
        parser.add_argument("--at", type=float, default=0.0, help="mm: + = occlusal of the neck, lingual or distal")
        parser.add_argument("--thickness", type=float, default=0.15, help="mm, 0.1 to 3")
        parser.add_argument("--voxel", type=float, default=0.15, help="mm, 0.1 to 0.2")
        parser.add_argument("--out", type=Path, required=True)

    def work(self, **options: Any) -> None:
        document = read_document(options["casefile"])
        try:
            cut = Cut(options["plane"], options["at"], options["thickness"])
            taken = take_slice(document.anatomy, cut, Volume(voxel_mm=options["voxel"]))
        except ValueError as trouble:
            raise FileRefused(str(trouble)) from trouble
        try:
            options["out"].write_bytes(taken.png())
        except OSError as trouble:
            raise FileRefused(
                f"{options['out']}: cannot be written ({trouble.strerror}): choose another place"
            ) from trouble
        film, volume = doses()
        self.stdout.write(taken.words)
        self.stdout.write(
            f"A {volume.what} takes about {volume.microsievert:g} microsievert ({volume.range_microsievert[0]:g} to "
            f"{volume.range_microsievert[1]:g}), as much as {in_films()} times one {film.what} ({volume.source}; "
            f"{volume.basis})."
        )
