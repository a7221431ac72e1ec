"""`manage.py film CASEFILE --out film.png`: one view of a case's tooth as a radiograph."""

import re
from argparse import ArgumentParser, ArgumentTypeError
from pathlib import Path
from typing import Any, NamedTuple

from casebank.casefile import FileRefused, file_rod, read_document
from casebank.management.plain import FileCommand
from casebank.radiograph import Receptor, View, take


class FileIn(NamedTuple):
    """A hand file in a canal: its size and how far its tip stays short of the foramen, along the canal."""

    canal: str
    size: int
    short_mm: float


def file_in(text: str) -> FileIn:
    """CANAL:SIZE:SHORT_MM as a value."""
    match = re.fullmatch(r"([A-Za-z0-9]+):(\d{1,3}):(\d+(?:\.\d+)?)", text)
    if not match:
        raise ArgumentTypeError(f"{text!r} is not of the form CANAL:SIZE:SHORT_MM, such as MB:15:0.5")
    return FileIn(match[1], int(match[2]), float(match[3]))


def pixels(text: str) -> Receptor:
    """WIDTHxHEIGHT as a receptor."""
    match = re.fullmatch(r"(\d{1,6})x(\d{1,6})", text)
    if not match:
        raise ArgumentTypeError(f"{text!r} is not of the form WIDTHxHEIGHT, such as 1450x1100")
    try:
        return Receptor.of_pixels(int(match[1]), int(match[2]))
    except ValueError as trouble:
        raise ArgumentTypeError(str(trouble)) from trouble


class Command(FileCommand):
    help = "Write one radiograph of a case's tooth as PNG. Needs no database."

    def add_arguments(self, parser: ArgumentParser) -> None:
        parser.add_argument("casefile", type=Path)
        parser.add_argument("--horizontal", type=float, default=0.0, help="tube angle in degrees; + = moved mesially")
        parser.add_argument("--out", type=Path, required=True)
        parser.add_argument("--file-in", type=file_in, help="CANAL:SIZE:SHORT_MM, short of the foramen along the canal")
        parser.add_argument("--pixels", type=pixels, default=Receptor(), help="WIDTHxHEIGHT, 64 to 4096 each")

    def work(self, **options: Any) -> None:
        document = read_document(options["casefile"])
        inside: FileIn | None = options["file_in"]
        try:
            view = View(horizontal_deg=options["horizontal"])
            rods = (file_rod(document.anatomy, *inside),) if inside else ()
        except (ValueError, KeyError) as trouble:
            raise FileRefused(str(trouble.args[0])) from trouble
        film = take(document.anatomy, view=view, receptor=options["pixels"], rods=rods)
        try:
            options["out"].write_bytes(film.png())
        except OSError as trouble:
            raise FileRefused(
                f"{options['out']}: cannot be written ({trouble.strerror}): choose another place"
            ) from trouble
