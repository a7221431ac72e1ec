"""Cases: published edition by edition, taken out of the bank and put back."""

import hashlib
from datetime import datetime

from django.db import transaction

from casebank import policies
from casebank.casefile import FileRefused
from casebank.casefile.dry_run import dry_run
from casebank.models import Case, Edition, User


def publish_edition(*, content: bytes, by: User | None, now: datetime, name: str = "case document") -> Edition:
    """Publish a document as the next edition of its case; the same content twice returns the first.

    `by` is None for the program itself, when it loads its own cases, whose films have been checked before; `name` is
    what a refusal calls the document.
    FileRefused says in one sentence why a document cannot be published; nothing is stored then.
    """
    if by is not None:
        policies.require(policies.may_publish(by), "Only instructors and directors can publish a case.")
    tried = dry_run(content, name=name, on_films=by is not None)
    for trouble in (*tried.errors, *tried.obstacles):
        raise FileRefused(trouble)
    document = tried.require_document()
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


def retire_case(*, case: Case, by: User, now: datetime) -> Case:
    """Take a case out of the bank: nobody starts it any more, what was begun can be finished."""
    policies.require(policies.may_retire(by), "Only instructors and directors can take a case out of the bank.")
    Case.objects.filter(pk=case.pk, retired_at__isnull=True).update(retired_at=now)
    case.refresh_from_db()
    return case


def reopen_case(*, case: Case, by: User) -> Case:
    """Put a retired case back into the bank."""
    policies.require(policies.may_retire(by), "Only instructors and directors can put a case back into the bank.")
    Case.objects.filter(pk=case.pk).update(retired_at=None)
    case.refresh_from_db()
    return case
