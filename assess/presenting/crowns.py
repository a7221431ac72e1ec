"""The crown of a case seen from above: what can be seen of it from outside, and nothing of what lies within."""

from collections.abc import Sequence

from django.utils.safestring import SafeString, mark_safe

from assess.presenting.naming import tooth_words
from casebank.casefile import Document
from casebank.casefile.occlusal_map import occlusal_map


def crown_map(document: Document, over: Sequence[str] = ()) -> SafeString:
    """The drawing, as an `svg` element of a page; all words in it are escaped where it is made."""
    return mark_safe(occlusal_map(document.anatomy, crown_name(document), over))


def crown_name(document: Document) -> str:
    """What the tooth is called on its map."""
    number = document.anatomy.tooth.number
    return f"{number}, {tooth_words(number)}"
