"""The constructions of a canal's bend: what each reads, and the classes its source gives, with their open gaps."""

import math
import tomllib
from dataclasses import dataclass
from functools import cache
from importlib import resources

from casebank.anatomy.curvature import Curvature
from casebank.difficulty.bands import Stretch, require_whole_line
from casebank.difficulty.stretches import ends_of
from casebank.difficulty.tables import CriteriaError, Table

UNCLASSED = "unclassed"
FIGURES = ("secant_deg", "tangent_deg", "access_deg")


@dataclass(frozen=True)
class Class:
    """What a source calls some numbers; UNCLASSED where it leaves them open."""

    stretch: Stretch
    word: str


@dataclass(frozen=True)
class Classes:
    """Classes that part the whole line; none where a source gives none."""

    classes: tuple[Class, ...]
    status: str

    def of(self, value: float) -> str:
        """The class of a number as it is printed, with one decimal; empty where the source gives no classes."""
        printed = round(value, 1)
        return next((one.word for one in self.classes if one.stretch.holds(printed)), "")


@dataclass(frozen=True)
class AngleMethod:
    """One construction: `said` stands beside a number read by it, `words` say how it is drawn."""

    id: str
    figure: str
    said: str
    words: str
    source: str
    status: str
    classes: Classes

    def of(self, bend: Curvature) -> float:
        """The bend by this construction, degrees."""
        return float(getattr(bend, self.figure))


@dataclass(frozen=True)
class Radius:
    """How a radius is described, beside the angles."""

    words: str
    source: str
    status: str
    classes: Classes

    def in_words(self, radius_mm: float) -> str:
        """A radius with its class; a straight canal has none.

        >>> angle_methods().radius.in_words(3.0), angle_methods().radius.in_words(math.inf)
        ('3.0 mm, small', 'straight: no radius')
        """
        return "straight: no radius" if math.isinf(radius_mm) else f"{radius_mm:.1f} mm, {self.classes.of(radius_mm)}"


@dataclass(frozen=True)
class AngleMethods:
    """All constructions, the radius, and a sentence on how far they lie apart."""

    methods: tuple[AngleMethod, ...]
    radius: Radius
    note: str

    def method(self, name: str) -> AngleMethod:
        """The construction of that id. KeyError with those there are, if there is none."""
        for method in self.methods:
            if method.id == name:
                return method
        raise KeyError(f"no construction {name}: use one of {', '.join(method.id for method in self.methods)}")


@cache
def angle_methods() -> AngleMethods:
    """The constructions of `angles.toml`.

    >>> schneider = angle_methods().method("Schneider")
    >>> [schneider.classes.of(angle) for angle in (5, 7, 15, 22, 30)]
    ['straight', 'unclassed', 'moderate', 'unclassed', 'severe']
    """
    file = resources.files("casebank.difficulty") / "angles.toml"
    top = Table(tomllib.loads(file.read_text(encoding="utf-8")), "angles")
    methods = AngleMethods(
        methods=tuple(_method(table) for table in top.tables("method", "method")),
        radius=_radius(top.table("radius")),
        note=top.text("note"),
    )
    top.done()
    return methods


def _radius(table: Table) -> Radius:
    status = table.text("status")
    radius = Radius(table.text("words"), table.text("source"), status, _classes(table, status))
    table.done()
    return radius


def _method(table: Table) -> AngleMethod:
    status = table.text("classes_status") if "classes_status" in table else ""
    method = AngleMethod(
        id=table.text("id"),
        figure=table.one_of("reads", FIGURES),
        said=table.text("said"),
        words=table.text("words"),
        source=table.text("source"),
        status=table.text("status"),
        classes=_classes(table, status) if "classes" in table else Classes((), status),
    )
    table.done()
    return method


def _classes(table: Table, status: str) -> Classes:
    found = tuple(_class(one) for one in table.tables("classes", "class"))
    try:
        require_whole_line([one.stretch for one in found])
    except ValueError as trouble:
        raise CriteriaError(f"{table.where}, classes: {trouble}") from trouble
    return Classes(found, status)


def _class(table: Table) -> Class:
    word = table.text_or_none("is") or UNCLASSED
    least, least_counts, most, most_counts = ends_of(table)
    table.done()
    return Class(Stretch(least, least_counts, most, most_counts), word)
