"""`manage.py film_sheet --out sheet.png`: one film of each kind of tooth, drawn by the handbook, on one sheet."""

import io
from argparse import ArgumentParser
from pathlib import Path
from typing import Any

from PIL import Image, ImageDraw, ImageFont, PngImagePlugin

from casebank.anatomy.vary import vary
from casebank.casefile import FileRefused
from casebank.management.commands.film import pixels
from casebank.management.plain import FileCommand
from casebank.radiograph import Film, Receptor, View, take

# every kind of tooth once in each jaw, every quadrant in its turn
NUMBERS = (11, 22, 13, 24, 15, 26, 17, 28, 41, 32, 43, 34, 45, 36, 47, 38)
COLUMNS = 4
GAP_PX, CAPTION_PX = 8, 22
PAPER, INK = 32, 220


class Command(FileCommand):
    help = "Write a sheet of 16 radiographs, one of each kind of tooth in each jaw, as PNG. Needs no database."

    def add_arguments(self, parser: ArgumentParser) -> None:
        parser.add_argument("--out", type=Path, required=True)
        parser.add_argument("--seed", type=int, default=1, help="0 or more; another seed draws other teeth")
        parser.add_argument("--horizontal", type=float, default=0.0, help="tube angle in degrees; + = moved mesially")
        parser.add_argument(
            "--pixels", type=pixels, default=Receptor.of_pixels(580, 440), help="WIDTHxHEIGHT of one film, 64 to 4096"
        )

    def work(self, **options: Any) -> None:
        seed: int = options["seed"]
        try:
            view = View(horizontal_deg=options["horizontal"])
            films = {
                number: take(vary(number, seed), view=view, receptor=options["pixels"], seed=number)
                for number in NUMBERS
            }
        except ValueError as trouble:
            raise FileRefused(str(trouble)) from trouble
        try:
            options["out"].write_bytes(as_sheet(films, seed))
        except OSError as trouble:
            raise FileRefused(
                f"{options['out']}: cannot be written ({trouble.strerror}): choose another place"
            ) from trouble


def as_sheet(films: dict[int, Film], seed: int) -> bytes:
    """The films by number in rows of four, each over its number, as PNG with a warning in it."""
    receptor = next(iter(films.values())).receptor
    across, down = receptor.width_px + GAP_PX, receptor.height_px + CAPTION_PX + GAP_PX
    rows = -(-len(films) // COLUMNS)
    sheet = Image.new("L", (COLUMNS * across + GAP_PX, rows * down + GAP_PX), PAPER)
    draw, font = ImageDraw.Draw(sheet), ImageFont.load_default()
    for place, (number, film) in enumerate(films.items()):
        left, top = GAP_PX + place % COLUMNS * across, GAP_PX + place // COLUMNS * down
        sheet.paste(Image.fromarray(film.pixels), (left, top))
        draw.text((left + 4, top + receptor.height_px + 4), f"{number}  seed {seed}", fill=INK, font=font)
    about = PngImagePlugin.PngInfo()
    about.add_text("Title", "Synthetic teaching images")
    about.add_text("Warning", "Invented anatomy, not for patient care")
    out = io.BytesIO()
    sheet.save(out, "PNG", pnginfo=about)
    return out.getvalue()
