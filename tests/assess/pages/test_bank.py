"""The bank's own pages: files checked and imported, drafts published and discarded, cases taken out and put back."""

import json
import re

import pytest
from django.core.files.uploadedfile import SimpleUploadedFile
from django.test import Client
from django.urls import reverse

from casebank import actions
from casebank.models import Case, Draft, Edition
from tests.assess.pages.reading import words_of
from tests.factories import LEANING_ABUTMENT, NOON, CaseFactory, DraftFactory, EditionFactory

CONTENT = LEANING_ABUTMENT.read_bytes()


def changed(**fields):
    return json.dumps(json.loads(CONTENT) | fields).encode()


def contradicting():
    return changed(diagnosis=json.loads(CONTENT)["diagnosis"] | {"terms": "our own words"})


@pytest.fixture
def author(client, instructor):
    client.force_login(instructor)
    return client


def send(client, content, button="import", name="mine.case.json"):
    sent = {"file": SimpleUploadedFile(name, content, content_type="application/json"), button: "yes"}
    return client.post(reverse("import-case"), sent)


def faults_in(response):
    """Field and sentence of each row of the tables of what is wrong."""
    page = response.content.decode()
    return re.findall(r'<th scope="row"><code>(.*?)</code></th><td>(.*?)</td>', page)


def test_checking_says_what_it_is_and_stores_nothing(author):
    response = send(author, CONTENT, "check")
    assert response.status_code == 200
    assert "This file can be imported" in words_of(response)
    assert "it could be published" in words_of(response)
    assert not Draft.objects.exists()


def test_checking_names_what_would_keep_it_from_being_published(author):
    response = send(author, contradicting(), "check")
    assert response.status_code == 200
    [(field, sentence)] = faults_in(response)
    assert (field, "names no year" in sentence) == ("diagnosis.terms", True)
    assert "What would keep it from being published" in words_of(response)
    assert not Draft.objects.exists()


@pytest.mark.parametrize("button", ["check", "import"])
def test_every_error_stands_beside_its_field_and_the_file_is_not_stored(author, button):
    case = json.loads(CONTENT)
    del case["patient"]["complaint"]
    case["chart"][1]["minutes"] = 99
    case["colour"] = "red"
    response = send(author, json.dumps(case).encode(), button)
    assert response.status_code == 400
    assert {field for field, _ in faults_in(response)} == {"patient.complaint", "chart[1].minutes", "colour"}
    assert "The file was not stored" in words_of(response)
    assert not Draft.objects.exists()


@pytest.mark.parametrize(
    ("content", "field", "sentence"),
    [
        (b"", "whole file", "It is empty"),
        (b" \n", "whole file", "It is empty"),
        (b"\x89PNG\r\n\x1a\n\0\0", "whole file", "It is no case file"),
        (b"account,cohort\nstudent01,landing-4\n", "whole file", "It is no case file"),
        ("{}".encode("utf-16"), "whole file", "not UTF-8 text: save it as UTF-8"),
        (b"\xef\xbb\xbf{}", "whole file", "byte-order mark"),
        (b'{"title": "\xc3\x28"}', "whole file", "Not UTF-8"),
        (b'{\n"title" 7}', "line 2", "Not valid JSON"),
        (b"{}", "schema_version", "None is not the version this program reads"),
        (changed(schema_version=2), "schema_version", "2 is not the version this program reads"),
    ],
    ids=["empty", "blank", "picture", "roster", "utf-16", "mark", "broken utf-8", "broken json", "object", "schema"],
)
def test_what_is_no_case_file_is_told_in_one_sentence(author, content, field, sentence):
    for button in ("check", "import"):
        response = send(author, content, button)
        assert response.status_code == 400
        [(where, said)] = faults_in(response)
        assert where == field
        assert sentence in said
    assert not Draft.objects.exists()


def test_no_file_is_told(author):
    response = author.post(reverse("import-case"), {"import": "yes"})
    assert response.status_code == 400
    assert "Choose a case file first" in words_of(response)
    assert "Nothing was stored" in words_of(response)


@pytest.mark.parametrize(("size", "status"), [(2_000_001, 400), (2_100_000, 413)])
def test_a_file_that_is_far_too_large_is_turned_away(author, size, status):
    response = send(author, b"{" + b" " * (size - 1))
    assert response.status_code == status
    assert "larger than 2 MB" in words_of(response)
    assert not Draft.objects.exists()


def test_a_file_is_sent_with_the_secret_of_its_form(instructor):
    browser = Client(enforce_csrf_checks=True)
    browser.force_login(instructor)
    assert send(browser, CONTENT).status_code == 403
    assert not Draft.objects.exists()


def test_importing_leads_to_the_draft_and_again_to_the_same(author):
    first, second = send(author, CONTENT), send(author, CONTENT)
    draft = Draft.objects.get()
    assert first.status_code == second.status_code == 303
    assert first.url == second.url == reverse("draft", args=[draft.public_id])
    page = words_of(author.get(first.url))
    assert "This very file is a draft already" in page
    assert "It becomes the first edition of a new case, leaning-abutment." in page
    assert "Findings 15 Films given 1 Canals 3 Tasks 83" in page


def test_publishing_asks_once_and_lists_the_case(author):
    draft = DraftFactory()
    asked = author.get(reverse("publish-draft", args=[draft.public_id]))
    assert "An edition cannot be changed or removed" in words_of(asked)
    sent = {"sha256": draft.sha256}
    first, second = (author.post(reverse("publish-draft", args=[draft.public_id]), sent) for _ in range(2))
    assert first.url == second.url == reverse("bank")
    page = words_of(author.get(reverse("bank")))
    assert page.count("Published: leaning-abutment, edition 1.") == 2
    assert "leaning-abutment 37 1 2026-" in page
    assert "open to work" in page
    assert Edition.objects.count() == 1
    assert not Draft.objects.exists()


def test_a_draft_that_is_gone_and_was_never_published_is_not_there(author):
    draft = DraftFactory()
    address = reverse("publish-draft", args=[draft.public_id])
    assert author.post(reverse("discard-draft", args=[draft.public_id])).url == reverse("bank")
    assert "Your file is not touched" in words_of(author.get(reverse("bank")))
    assert author.post(address, {"sha256": draft.sha256}).status_code == 404
    assert author.get(address).status_code == 404


def test_a_draft_that_contradicts_itself_is_not_offered_for_publishing(author, instructor):
    draft = actions.import_draft(content=contradicting(), by=instructor, now=NOON)
    page = author.get(reverse("draft", args=[draft.public_id]))
    assert [field for field, _ in faults_in(page)] == ["diagnosis.terms"]
    publish = reverse("publish-draft", args=[draft.public_id])
    assert publish not in page.content.decode()
    for refused in (author.get(publish), author.post(publish)):
        assert refused.status_code == 409
        assert faults_in(refused) == faults_in(page)
    assert "Not published." in words_of(author.post(publish))
    assert Draft.objects.get() == draft
    assert not Edition.objects.exists()


def test_a_draft_says_which_edition_it_becomes(author, instructor):
    EditionFactory()
    same = DraftFactory()
    other = actions.import_draft(content=changed(title="A better title"), by=instructor, now=NOON)
    pages = [author.get(reverse("draft", args=[draft.public_id])) for draft in (same, other)]
    assert "This very file is edition 1 already" in words_of(pages[0])
    assert reverse("publish-draft", args=[same.public_id]) not in pages[0].content.decode()
    assert "It becomes edition 2 of leaning-abutment." in words_of(pages[1])


def test_a_draft_of_a_schema_that_is_read_no_more_can_only_be_discarded(author, instructor):
    text = changed(schema_version=99).decode()
    draft = DraftFactory(content=text)
    page = author.get(reverse("draft", args=[draft.public_id]))
    assert "schema_version" in words_of(page)
    assert "Preview Look" not in words_of(page)
    for address in (reverse("preview", args=[draft.public_id, "look"]), reverse("draft-key", args=[draft.public_id])):
        assert author.get(address).status_code == 409


def test_a_case_is_taken_out_and_put_back_from_the_list(author, student):
    case = EditionFactory().case
    author.post(reverse("retire-case", args=[case.slug]))
    page = author.get(reverse("bank"))
    assert "leaning-abutment is out of the bank" in words_of(page)
    assert reverse("reopen-case", args=[case.slug]) in page.content.decode()
    reader = Client()
    reader.force_login(student)
    assert "There is no case for you yet" in words_of(reader.get(reverse("cases")))
    author.post(reverse("reopen-case", args=[case.slug]))
    assert Case.objects.get().retired_at is None
    assert "leaning-abutment is in the bank again" in words_of(author.get(reverse("bank")))


def test_a_case_without_an_edition_is_named_and_cannot_be_taken_out(author):
    CaseFactory(slug="never-published")
    page = author.get(reverse("bank"))
    assert "never-published" in words_of(page)
    assert reverse("retire-case", args=["never-published"]) not in page.content.decode()


def test_a_teacher_gets_to_the_bank_and_a_student_does_not(author, student):
    page = author.get(reverse("home")).content.decode()
    assert f'href="{reverse("bank")}"' in page
    assert "Your teaching" in page
    author.force_login(student)
    page = author.get(reverse("home")).content.decode()
    assert f'href="{reverse("bank")}"' not in page
    assert f'href="{reverse("cases")}"' in page
