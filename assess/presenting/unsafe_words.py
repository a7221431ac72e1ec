"""Unsafe steps of the bench in a few words, where a table names them without the attempt they were made in."""

from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy

from assess.grading.unsafe import AT_FIRST
from casebank.instruments.author_rules import AUTHOR_RULE

BENCH = {  # the words of `unsafe_rules.toml`, where a translation can find them
    "no-rubber-dam": gettext_lazy("No rubber dam"),
    "wrong-tooth": gettext_lazy("Tooth not made sure of before it was isolated"),
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
    "fill-beyond-foramen": gettext_lazy("Filling placed beyond the foramen"),
    "harm-not-disclosed": gettext_lazy("Separated instrument or perforation not disclosed"),
    "beyond-licence": gettext_lazy("Treatment alone planned where the licence says refer"),
}


def unsafe_words(rule: str, label: str) -> str:
    """A rule in words: of the bench, of its author's own there, or a choice the author calls unsafe, by what was asked.

    >>> unsafe_words("author-2", "")
    "Rule 2 of the case's author for this bench"
    >>> unsafe_words("full-day.first", "Swelling at the end of a full day")
    'Swelling at the end of a full day: something unsafe put first'
    """
    if rule in BENCH:
        return str(BENCH[rule])
    if rule.endswith(AT_FIRST):
        return _("%(task)s: something unsafe put first") % {"task": label or rule.removesuffix(AT_FIRST)}
    number = rule.removeprefix(AUTHOR_RULE)
    if number != rule and number.isdecimal():
        return _("Rule %(number)s of the case's author for this bench") % {"number": number}
    return _("%(task)s: an option the case's author calls unsafe") % {"task": label or rule}
