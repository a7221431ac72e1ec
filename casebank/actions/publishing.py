"""What can be done to the bank. Each function asks the policy, opens one transaction and returns what it stored."""

import hashlib
from datetime import datetime

from django.db import transaction

from casebank import policies
from casebank.casefile import Document, FileRefused, derive, parse_document
from casebank.casefile.reading import GREATEST_BYTES
from casebank.models import Case, Edition, User

LONGEST_TITLE = 200


def publish_edition(*, content: bytes, by: User | None, now: datetime) -> Edition:
    """Publish a document as the next edition of its case; the same content twice returns the first.

    `by` is None for the program itself, when it loads its own cases. FileRefused says in one sentence why a document
    cannot be published; nothing is stored then.
    """
    if by is not None:
        policies.require(policies.may_publish(by), "Only instructors and directors can publish a case.")
    document = _checked(content)
    sha256 = hashlib.sha256(content).hexdigest()
    with transaction.atomic():
        case, _ = Case.objects.select_for_update().get_or_create(slug=document.slug)
        first = case.editions.filter(sha256=sha256).first()
        if first:
            return first
        latest = case.latest_edition()
        return case.editions.create(
            number=latest.number + 1 if latest else 1,
            content=content.decode(),
            sha256=sha256,
            title=document.title,
            tooth=document.anatomy.tooth.number,
            published_at=now,
            published_by=by,
        )


def _checked(content: bytes) -> Document:
    """The document, if reference answers follow from it and the store can hold it."""
    name = "case document"
    if len(content) > GREATEST_BYTES:
        raise FileRefused(f"{name}: larger than {GREATEST_BYTES // 1_000_000} MB: make it smaller")
    document = parse_document(content, name=name)
    if len(document.title) > LONGEST_TITLE or any(ord(letter) < 32 for letter in document.title):
        raise FileRefused(f"{name}, title: give one line of at most {LONGEST_TITLE} characters")
    try:
        derive(document)
    except ValueError as trouble:
        raise FileRefused(f"{name}, {trouble}") from trouble
    return document
