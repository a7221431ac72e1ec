"""The bundled cases for tests of what stands in their canals."""

from functools import cache
from pathlib import Path

from casebank.casefile import Document, read_document

CASES_IN = Path(__file__).parents[3] / "fixtures" / "cases"
SLUGS = sorted(path.name.removesuffix(".case.json") for path in CASES_IN.glob("*.case.json"))


@cache
def case(slug: str) -> Document:
    return read_document(CASES_IN / f"{slug}.case.json")


CANALS = [(slug, canal.name) for slug in SLUGS for canal in case(slug).anatomy.tooth.canals]
