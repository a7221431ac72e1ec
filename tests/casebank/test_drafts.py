"""Drafts: imported once, kept as they are, published as the next edition once nothing contradicts itself."""

import hashlib
import json
from datetime import timedelta

import pytest
from django.core.exceptions import PermissionDenied

from casebank import actions
from casebank.casefile import FileRefused
from casebank.models import Case, Draft, Edition
from tests.factories import LEANING_ABUTMENT, DraftFactory

CONTENT = LEANING_ABUTMENT.read_bytes()


def changed(**fields):
    return json.dumps(json.loads(CONTENT) | fields).encode()


def contradicting():
    """The case with diagnosis terms that name no year, and so no edition."""
    case = json.loads(CONTENT)
    return changed(diagnosis=case["diagnosis"] | {"terms": "our own words"})


def test_a_draft_holds_the_very_file(instructor, noon):
    draft = actions.import_draft(content=CONTENT, by=instructor, now=noon)
    draft.refresh_from_db()
    assert draft.content.encode() == CONTENT
    assert draft.sha256 == hashlib.sha256(CONTENT).hexdigest()
    assert (draft.slug, draft.tooth, draft.imported_by) == ("leaning-abutment", 37, instructor)
    assert draft.document.slug == draft.slug
    assert not Case.objects.exists()


def test_the_same_file_twice_is_one_draft_and_stays_the_first_ones(instructor, director, noon):
    first = actions.import_draft(content=CONTENT, by=instructor, now=noon)
    second = actions.import_draft(content=CONTENT, by=director, now=noon + timedelta(days=1))
    assert second == first
    assert (second.imported_by, second.imported_at) == (instructor, noon)
    assert Draft.objects.count() == 1


def test_what_is_no_case_leaves_no_draft(instructor, noon):
    with pytest.raises(FileRefused, match=r"choices\.proof"):
        actions.import_draft(content=changed(choices={}), by=instructor, now=noon)
    assert not Draft.objects.exists()


def test_a_case_that_contradicts_itself_is_kept_and_not_published(instructor, noon):
    draft = actions.import_draft(content=contradicting(), by=instructor, now=noon)
    with pytest.raises(FileRefused, match=r"diagnosis\.terms: 'our own words' names no year"):
        actions.publish_draft(draft=draft, by=instructor, now=noon)
    assert Draft.objects.get() == draft
    assert not Edition.objects.exists()
    assert not Case.objects.exists()


def test_publishing_makes_the_next_edition_and_the_draft_goes(instructor, noon):
    first = actions.publish_edition(content=CONTENT, by=instructor, now=noon)
    draft = actions.import_draft(content=changed(title="A better title"), by=instructor, now=noon)
    edition = actions.publish_draft(draft=draft, by=instructor, now=noon)
    assert (edition.case, edition.number, edition.title) == (first.case, 2, "A better title")
    assert edition.sha256 == draft.sha256
    assert not Draft.objects.exists()


def test_publishing_what_is_an_edition_already_adds_none(instructor, noon):
    first = actions.publish_edition(content=CONTENT, by=instructor, now=noon)
    draft = actions.import_draft(content=CONTENT, by=instructor, now=noon)
    assert actions.publish_draft(draft=draft, by=instructor, now=noon) == first
    assert Edition.objects.count() == 1
    assert not Draft.objects.exists()


def test_a_discarded_draft_can_be_imported_again(instructor, noon):
    actions.discard_draft(draft=actions.import_draft(content=CONTENT, by=instructor, now=noon), by=instructor)
    assert not Draft.objects.exists()
    assert actions.import_draft(content=CONTENT, by=instructor, now=noon).pk


def test_a_case_is_taken_out_once_and_put_back(instructor, edition, noon):
    case = actions.retire_case(case=edition.case, by=instructor, now=noon)
    assert case.retired_at == noon
    assert not Case.objects.open_to_work().exists()
    again = actions.retire_case(case=case, by=instructor, now=noon + timedelta(days=1))
    assert again.retired_at == noon
    assert actions.reopen_case(case=again, by=instructor).retired_at is None
    assert Case.objects.open_to_work().get() == case


def test_a_new_edition_does_not_put_a_case_back(instructor, edition, noon):
    actions.retire_case(case=edition.case, by=instructor, now=noon)
    draft = actions.import_draft(content=changed(title="A better title"), by=instructor, now=noon)
    assert actions.publish_draft(draft=draft, by=instructor, now=noon).case.retired_at == noon


@pytest.mark.parametrize("who", ["student", "outsider"])
def test_whoever_does_not_teach_can_do_none_of_it(request, edition, noon, who):
    by, draft = request.getfixturevalue(who), DraftFactory()
    for act in (
        lambda: actions.import_draft(content=changed(title="Mine"), by=by, now=noon),
        lambda: actions.publish_draft(draft=draft, by=by, now=noon),
        lambda: actions.discard_draft(draft=draft, by=by),
        lambda: actions.retire_case(case=edition.case, by=by, now=noon),
        lambda: actions.reopen_case(case=edition.case, by=by),
    ):
        with pytest.raises(PermissionDenied, match="Only instructors and directors"):
            act()
    assert list(Draft.objects.all()) == [draft]
    assert Case.objects.get().retired_at is None
