"""What is wrong with a case file, by field: the sentences of the dry run, and files that are no such file at all."""

from collections.abc import Sequence
from dataclasses import dataclass

from django.utils.translation import gettext as _

FILE = "case file"  # what the dry run's sentences call it
BYTE_ORDER_MARK = b"\xef\xbb\xbf"


@dataclass(frozen=True)
class Fault:
    """One thing to correct: where it stands, and what is wrong with it and what to do."""

    field: str
    sentence: str


def faults(sentences: Sequence[str]) -> tuple[Fault, ...]:
    """Sentences as the dry run gives them, each parted into its field and the rest."""
    return tuple(_fault(sentence) for sentence in sentences)


def no_case_file(content: bytes) -> tuple[Fault, ...]:
    """What to say of a file that cannot hold a case at all; nothing for one that may."""
    whole = _("whole file")
    if not content.strip():
        return (Fault(whole, _("it is empty: choose the file that holds the case")),)
    if content.startswith(BYTE_ORDER_MARK):
        return (Fault(whole, _("it begins with a byte-order mark: save it as UTF-8 without one")),)
    if b"\0" not in content and content.lstrip().startswith(b"{"):
        return ()
    if content[:2] in (b"\xff\xfe", b"\xfe\xff"):
        return (Fault(whole, _("it is not UTF-8 text: save it as UTF-8")),)
    return (Fault(whole, _("it is no case file: choose one whose name ends in .case.json")),)


def _fault(sentence: str) -> Fault:
    rest = sentence.removeprefix(FILE)
    if rest.startswith(", "):
        field, parted, words = rest.removeprefix(", ").partition(": ")
        return Fault(field, words) if parted else Fault(_("whole file"), field)
    if rest != sentence:
        return Fault(_("whole file"), rest.removeprefix(": "))
    return Fault(_("further"), sentence)
