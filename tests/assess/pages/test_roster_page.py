"""A roster is tried, looked at, applied, and changes nothing a second time; one with a problem stores nothing."""

import re
from html import unescape

import pytest
from django.core.files.uploadedfile import SimpleUploadedFile
from django.urls import reverse

from casebank.models import Role, Seat, User
from tests.assess.pages.reading import words_of
from tests.factories import CohortFactory, seated

THREE = "account,cohort,role\nstudent01,landing-4,student\nstudent02,landing-4,\ntutor7,landing-4,instructor\n"


@pytest.fixture
def address(cohort):
    return reverse("roster", args=[cohort.programme.slug])


@pytest.fixture
def send(directing, address):
    """Tries a file; text is sent as UTF-8."""

    def send(content, *, remove=False):
        content = content.encode() if isinstance(content, str) else content
        body = {"roster": SimpleUploadedFile("roster.csv", content, "text/csv")} | ({"remove": "on"} if remove else {})
        return directing.post(address, body)

    return send


@pytest.fixture
def carry_out(directing, address):
    """Sends what the form of a tried roster holds, as a browser would."""

    def carry_out(tried):
        page = tried.content.decode()
        form = re.search(r'<form[^>]*>(?:(?!</form>).)*?name="text".*?</form>', page, re.S)[0]
        fields = dict(re.findall(r'<input type="hidden" name="(text|remove)" value="([^"]*)"', form, re.S))
        sent = {name: re.sub(r"\r?\n", "\r\n", unescape(value)) for name, value in fields.items()}
        return directing.post(address, sent)

    return carry_out


def stored():
    return set(Seat.objects.values_list("cohort__slug", "membership__user__username", "membership__role"))


def test_a_roster_is_tried_and_nothing_is_stored(send):
    accounts = User.objects.count()
    tried = send(THREE)
    assert tried.status_code == 200
    said = words_of(tried)
    assert "New accounts 3 Seats taken 3 Seats as they are 0 Seats given up 0" in said
    assert "Joining: 3 student01, student02, tutor7" in said
    assert "New accounts cannot sign in yet." in said
    assert (stored(), User.objects.count()) == (set(), accounts)


def test_applied_it_stands_and_applied_again_it_changes_nothing(send, carry_out, directing, cohort):
    tried = send(THREE)
    done = carry_out(tried)
    assert "Roster: what has changed" in words_of(done)
    assert stored() == {
        ("landing-4", "student01", "student"),
        ("landing-4", "student02", "student"),
        ("landing-4", "tutor7", "instructor"),
    }
    assert not User.objects.get(username="student01").has_usable_password()
    assert reverse("cohort", args=[cohort.pk]) in done.content.decode()
    before = stored()
    again = carry_out(tried)
    assert "There is nothing to change The 3 seats it names are as it says." in words_of(again)
    assert "There is nothing to change" in words_of(send(THREE))
    assert stored() == before


def test_whoever_is_not_in_the_file_leaves_only_if_that_is_asked_for(send, carry_out, cohort):
    for name in ("student02", "student09"):
        seated(cohort, Role.STUDENT, username=name)
    seated(cohort, Role.INSTRUCTOR, username="tutor1")
    seated(CohortFactory(slug="landing-5"), Role.STUDENT, username="student10")
    only = "account,cohort\nstudent02,landing-4\n"
    assert "There is nothing to change" in words_of(send(only))
    tried = send(only, remove=True)
    assert "Leaving: 1 student09" in words_of(tried)
    carry_out(tried)
    assert {name for _, name, _ in stored()} == {"student02", "tutor1", "student10"}


def test_a_tried_roster_is_checked_again_against_what_stands_then(send, carry_out, cohort):
    tried = send(THREE)
    seated(cohort, Role.STUDENT, username="student01")
    cohort.programme.memberships.filter(user__username="student01").update(role=Role.INSTRUCTOR)
    refused = carry_out(tried)
    assert refused.status_code == 400
    assert "'student01' is here as student but belongs to the programme as instructor" in words_of(refused)
    assert {name for _, name, _ in stored()} == {"student01"}


@pytest.mark.parametrize(
    ("content", "sentences"),
    [
        (THREE + "student01,landing-4,\n", ["line 5", "student01"]),
        ("account,cohort\nstudent01,nowhere\n", ["line 2: there is no cohort 'nowhere'", "use one of landing-4"]),
        ("account,cohort,role\nstudent01,landing-4,director\n", ["line 2: a roster makes nobody a director"]),
        ("account,cohort,role\nstudent01,landing-4,keeper\n", ["line 2: the role 'keeper' is not known"]),
        ("account\nstudent01\n", ["the header does not name 'cohort'"]),
        ("account,cohort\nstudent01\n", ["line 2:"]),
        (
            "account,cohort\ntutör,landing-4\n".encode("latin-1"),
            ["line 2: not UTF-8 text: save the sheet as CSV UTF-8"],
        ),
        ("account,cohort\nx,landing-4\n".encode("utf-16"), ["UTF-16"]),
        (b"", ["the sheet is empty"]),
        (b"PK\x03\x04 a workbook", ["a spreadsheet's own file"]),
        ("account,cohort\n" + "".join(f"s{n},landing-4\n" for n in range(50_000)), ["at most 5,000 are read"]),
        ("account,cohort\n" + "x" * 2_100_000, ["at most 2,000,000 are read"]),
        ("account,cohort\n=1+1,landing-4\n<b>,landing-4\n", ["line 2", "line 3"]),
    ],
    ids=[
        *("twice", "no-cohort", "director", "role", "header", "fields", "latin-1", "utf-16", "empty", "workbook"),
        *("rows", "bytes", "names"),
    ],
)
def test_a_roster_with_a_problem_is_refused_with_every_line_named(send, content, sentences):
    accounts = User.objects.count()
    refused = send(content)
    assert refused.status_code == 400
    said = words_of(refused)
    assert "Nothing was stored" in said
    assert [sentence for sentence in sentences if sentence not in said] == []
    assert "Apply this roster" not in said
    assert (stored(), User.objects.count()) == (set(), accounts)


@pytest.mark.parametrize(
    "body",
    [
        {},
        {"roster": "no file"},
        {"text": ""},
        {"text": "\0"},
        {"text": "account,cohort\nx,nowhere"},
        {"text": "<b>", "remove": "\0"},
    ],
)
def test_what_no_page_sends_is_refused_in_words(directing, address, cohort, body):
    refused = directing.post(address, body)
    assert refused.status_code == 400
    assert re.search("Choose|Null|line 2|header", words_of(refused))
    assert "<b>" not in refused.content.decode()
    assert stored() == set()


def test_the_page_shows_what_a_file_looks_like_and_that_very_text_can_be_sent(directing, address, send):
    page = directing.get(address).content.decode()
    example = unescape(re.search(r"<code>(.*?)</code>", page, re.S)[1])
    assert "New accounts 3" in words_of(send(example))


def test_a_roster_is_the_directors(tutoring, elsewhere, address, cohort):
    for reader in (tutoring, elsewhere):
        assert reader.get(address).status_code == 404
        assert reader.post(address, {"text": THREE}).status_code == 404
    assert {name for _, name, _ in stored()} == {"tutor1"}
