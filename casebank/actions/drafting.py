"""Drafts: a case file is imported after a dry run, and published once nothing in it contradicts itself."""

import hashlib
from datetime import datetime

from django.db import transaction

from casebank import policies
from casebank.actions.publishing import publish_edition
from casebank.casefile import FileRefused
from casebank.casefile.dry_run import dry_run
from casebank.models import Draft, Edition, User

FILE = "case file"


def import_draft(*, content: bytes, by: User, now: datetime) -> Draft:
    """Keep a case file as a draft; the same file twice is one draft. FileRefused, and nothing kept, if it is no case.

    A case that contradicts itself is kept: its author sees it as a student would, and mends it.
    """
    policies.require(policies.may_import(by), "Only instructors and directors can import a case.")
    tried = dry_run(content, name=FILE)
    if tried.errors:
        raise FileRefused(tried.errors[0])
    document, sha256 = tried.require_document(), hashlib.sha256(content).hexdigest()
    draft, _ = Draft.objects.get_or_create(
        sha256=sha256,
        defaults={
            "content": content.decode(),
            "slug": document.slug,
            "title": document.title,
            "tooth": document.anatomy.tooth.number,
            "imported_at": now,
            "imported_by": by,
        },
    )
    return draft


def publish_draft(*, draft: Draft, by: User, now: datetime) -> Edition:
    """Publish a draft as the next edition of its case; the draft goes. FileRefused says why it cannot be published."""
    policies.require(policies.may_publish(by), "Only instructors and directors can publish a case.")
    with transaction.atomic():
        edition = publish_edition(content=draft.content.encode(), by=by, now=now)
        draft.delete()
        return edition


def discard_draft(*, draft: Draft, by: User) -> None:
    """Throw a draft away. Its file is not touched, so it can be imported again."""
    policies.require(policies.may_import(by), "Only instructors and directors can discard a draft.")
    draft.delete()
