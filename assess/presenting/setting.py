"""The cases that can be set, each with what is known of it in a cohort already: counts, and none of a few."""

from collections.abc import Collection, Mapping, Sequence
from dataclasses import dataclass

from django.utils.translation import gettext as _
from django.utils.translation import ngettext

from assess.presenting.naming import tooth_words
from assess.stats import LEAST_SHOWN
from casebank.models import Case


@dataclass(frozen=True)
class Settable:
    """One case on the form: what it is, and how many of the cohort have finished it in practice, in words."""

    slug: str
    title: str
    tooth: int
    tooth_words: str
    practised: str
    known: bool
    chosen: bool


def settable(cases: Sequence[Case], practised: Mapping[int, int], chosen: Collection[str]) -> list[Settable]:
    """Cases that have an edition, which are fetched newest first. `practised` counts students by the case's key."""
    rows = []
    for case in cases:
        edition = next(iter(case.editions.all()), None)
        if edition is not None:
            count = practised.get(case.pk, 0)
            rows.append(
                Settable(
                    slug=case.slug,
                    title=edition.title,
                    tooth=edition.tooth,
                    tooth_words=tooth_words(edition.tooth),
                    practised=_in_words(count),
                    known=count >= LEAST_SHOWN,
                    chosen=case.slug in chosen,
                )
            )
    return rows


def known_before(cases: Sequence[Case], practised: Mapping[int, int]) -> str:
    """A sentence on the cases whose reference many of the cohort have read already; nothing if there is none."""
    known = [f"{case.slug} ({practised[case.pk]})" for case in cases if practised.get(case.pk, 0) >= LEAST_SHOWN]
    if not known:
        return ""
    return ngettext(
        "Students of this cohort have finished a case of it in practice before, and read its reference: %(cases)s.",
        "Students of this cohort have finished cases of it in practice before, and read their references: %(cases)s.",
        len(known),
    ) % {"cases": ", ".join(known)}


def _in_words(count: int) -> str:
    if count < LEAST_SHOWN:
        return _("fewer than %(least)d") % {"least": LEAST_SHOWN}
    return str(count)
