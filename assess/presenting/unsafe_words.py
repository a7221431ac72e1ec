"""Unsafe steps of the bench in a few words, where a table names them without the attempt they were made in."""

from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy

BENCH = {
    "engine-before-path": gettext_lazy("Engine file deeper than a loose size 10 had been"),
    "dry-shaping": gettext_lazy("Canal shaped dry"),
    "forced": gettext_lazy("File forced again at the stop that had held it"),
    "length-never-read": gettext_lazy("Canal shaped before any length was read"),
    "large-through-foramen": gettext_lazy("Something larger than a size 10 through the foramen"),
    "brushed-toward-furcation": gettext_lazy("Brushed against the thin wall at the furcation"),
    "needle-bound": gettext_lazy("Needle bound, or at working length"),
    "needle-close": gettext_lazy("Needle close to where it binds"),
    "solutions-mixed": gettext_lazy("Sodium hypochlorite and chlorhexidine met"),
    "instrument-separated": gettext_lazy("Instrument separated in the canal"),
    "wall-perforated": gettext_lazy("Wall of the root perforated"),
}


def unsafe_words(rule: str, label: str) -> str:
    """A rule in words: of the bench, or a choice that the case's author calls unsafe, by what was asked."""
    if rule in BENCH:
        return str(BENCH[rule])
    return _("%(task)s: an option the case's author calls unsafe") % {"task": label or rule}
