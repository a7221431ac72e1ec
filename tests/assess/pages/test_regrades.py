"""The pages of a regrade: drafted, watched, looked at, applied, undone; and what its students read."""

import re

import pytest
from django.test import Client
from django.urls import reverse

from assess import actions
from assess.models import RegradeBatch, RegradeState, StoredGrade
from casebank.models import Role
from tests.assess.pages.reading import words_of
from tests.assess.regrading import LATER, REASON, key_turned, regraded, worked
from tests.factories import AssignedCaseFactory, EditionFactory, MembershipFactory, ProgrammeFactory, member, seated

CASE = "leaning-abutment"


@pytest.fixture
def assigned(db):
    return AssignedCaseFactory()


@pytest.fixture
def attempts(assigned):
    return [worked(assigned, "sound", username="ada"), *(worked(assigned, "weak", username=f"bo{n}") for n in range(4))]


@pytest.fixture
def programme(assigned):
    return assigned.assignment.cohort.programme


def browser(user):
    client = Client()
    client.force_login(user)
    return client


@pytest.fixture
def director(programme):
    return browser(member(Role.DIRECTOR, username="director"))


def address(batch, name="regrade"):
    return reverse(name, args=[CASE, batch.public_id])


def test_a_regrade_is_drafted_looked_at_applied_and_undone_by_pages(attempts, director, programme):
    key_turned()
    before = list(StoredGrade.objects.standing().values_list("pk", flat=True))
    sent = {"edition": "2", "programme": programme.slug, "cut": "60"}
    drafted = director.post(reverse("regrades", args=[CASE]), sent, follow=True)
    batch = RegradeBatch.objects.get()
    assert "waits to be worked out" in words_of(drafted)
    progress = director.get(address(batch, "regrade-progress"))
    assert progress.json() == {"state": "drafted", "percent": 0}
    actions.work_out(batch)
    page = words_of(director.get(address(batch)))
    assert "Nothing of it counts yet" in page
    assert "Landing, year 4, Spring work 5 4 1 0" in page
    asked = director.get(address(batch, "regrade-apply"))
    assert "Of the 5 attempts that are shown: 4 up, 1 down" in words_of(asked)
    assert list(StoredGrade.objects.standing().values_list("pk", flat=True)) == before
    done = words_of(director.post(address(batch, "regrade-apply"), {"reason": REASON}, follow=True))
    assert f"by director. Reason: {REASON}" in done
    director.post(address(batch, "regrade-undo"), {"reason": "It was right after all"})
    assert list(StoredGrade.objects.standing().values_list("pk", flat=True)) == before
    assert "Undone because: It was right after all" in words_of(director.get(reverse("regrades", args=[CASE])))


def test_without_a_reason_nothing_is_applied_and_the_field_says_so(attempts, director, programme):
    batch = regraded(key_turned(), programme)
    response = director.post(address(batch, "regrade-apply"), {"reason": "  "})
    assert response.status_code == 400
    assert "Give the reason: students read it beside their grade." in words_of(response)
    batch.refresh_from_db()
    assert batch.state == RegradeState.READY


def test_a_preview_that_no_longer_holds_says_so_and_is_worked_out_again(attempts, director, programme, assigned):
    batch = regraded(key_turned(), programme)
    worked(assigned, "weak")
    page = director.get(address(batch))
    assert "Further attempts were finished since" in words_of(page)
    assert address(batch, "regrade-apply") not in page.content.decode()
    refused = director.post(address(batch, "regrade-apply"), {"reason": REASON})
    assert refused.status_code == 409
    director.post(address(batch, "regrade-anew"))
    states = RegradeBatch.objects.order_by("pk").values_list("state", flat=True)
    assert list(states) == [RegradeState.CANCELLED, RegradeState.DRAFTED]


def test_students_are_named_to_whoever_reads_their_attempts_and_to_nobody_else(attempts, assigned, programme):
    tutor, author = seated(assigned.assignment.cohort, Role.INSTRUCTOR), member(Role.INSTRUCTOR)
    corrected = key_turned().content
    editions = [
        EditionFactory(content=corrected + " " * number, number=number, published_by=person)
        for number, person in ((3, tutor), (4, author))
    ]
    batch = regraded(editions[-1], programme)
    found = {person: words_of(browser(person).get(address(batch))) for person in (tutor, author)}
    assert "ada" in re.findall(r"\w+", found[tutor])
    assert "ada" not in re.findall(r"\w+", found[author])
    assert "Landing, year 4, Spring work 5" in found[author]


def test_a_student_reads_when_why_and_what_it_was_before(attempts, programme):
    student, attempt = attempts[1].student, attempts[1]
    page = reverse("compare", args=[attempt.public_id])
    before = attempt.grades.get().percent
    assert "Graded again" not in words_of(browser(student).get(page))
    batch = actions.apply_regrade(batch=regraded(key_turned(), programme), reason=REASON, by=None, now=LATER)
    read = words_of(browser(student).get(page))
    assert f"Graded again on 2026-03-02 under edition 2 because: {REASON}. Before: {before:.0f} %." in read
    assert f"agree with the rubric for {attempt.grades.standing().get().percent:.0f} %" in read
    assert "Edition 2" in read
    actions.undo_regrade(batch=batch, reason=REASON, by=None, now=LATER)
    assert "Graded again" not in words_of(browser(student).get(page))


def test_a_regrade_of_another_programme_is_not_listed(attempts, director, programme):
    elsewhere = ProgrammeFactory(slug="another-school")
    other = MembershipFactory(programme=elsewhere, role=Role.DIRECTOR).user
    batch = regraded(key_turned(), programme)
    assert str(batch.public_id) in director.get(reverse("regrades", args=[CASE])).content.decode()
    assert str(batch.public_id) not in browser(other).get(reverse("regrades", args=[CASE])).content.decode()


def test_a_reason_cannot_carry_marks_into_a_page(attempts, director, programme):
    batch = regraded(key_turned(), programme)
    director.post(address(batch, "regrade-apply"), {"reason": "<script>alert(1)</script>"})
    student = browser(attempts[1].student).get(reverse("compare", args=[attempts[1].public_id]))
    for page in (director.get(address(batch)), student):
        assert "<script>alert" not in page.content.decode()
        assert "&lt;script&gt;" in page.content.decode()
