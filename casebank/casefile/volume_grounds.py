"""Whether what a volume is asked for is a question that the case has."""

from collections.abc import Callable, Mapping

from casebank.anatomy import Anatomy
from casebank.casefile.document import Document
from casebank.radiograph.cone_beam import Need, reason_of

CLOSED_MM = 0.08
"""A canal narrower than this somewhere passes no hand file of the smallest size, 06: it is sought, not followed."""


def has_grounds(document: Document, slug: str) -> bool:
    """Whether the reason speaks of something that is in the case, by its anatomy or by its author's word.

    Raises
    ------
    KeyError
        If there is no such reason.
    """
    needs = reason_of(slug).needs
    return not needs or slug in document.volume_reasons or _SHOWN[needs](document.anatomy)


def _further_canal(anatomy: Anatomy) -> bool:
    """Whether a root holds more than one canal: then a single film may overlay them."""
    roots = [canal.root for canal in anatomy.tooth.canals]
    return len(set(roots)) < len(roots)


def _closed_canal(anatomy: Anatomy) -> bool:
    return any(spot.narrow_mm < CLOSED_MM for canal in anatomy.tooth.canals for spot in canal.narrowings)


def _resorption(anatomy: Anatomy) -> bool:
    tooth = anatomy.tooth
    return any(canal.resorptions for canal in tooth.canals) or any(root.resorptions for root in tooth.roots)


def _earlier_filling(anatomy: Anatomy) -> bool:
    return bool(anatomy.restorations.root_fillings)


_SHOWN: Mapping[Need, Callable[[Anatomy], bool]] = {
    "author": lambda anatomy: False,
    "further canal": _further_canal,
    "closed canal": _closed_canal,
    "resorption": _resorption,
    "earlier filling": _earlier_filling,
}
