"""What a cohort's tutors see: how far each student has come in graded work, and the attempts that are settled."""

import re
from datetime import timedelta

import pytest
from django.db import connection
from django.test.utils import CaptureQueriesContext
from django.urls import reverse
from django.utils import timezone

from assess import actions
from assess.log import Stage
from assess.models import Mode
from casebank.models import Role, Seat
from tests.assess.pages.reading import PERCENTS, words_of
from tests.factories import AssignedCaseFactory, AssignmentFactory, AttemptFactory, CohortFactory, member, seated

TO_THE_STUDENT = (
    *("Your answers", "Your films", "What you answered", "What you felt", "You said", "You expected", "You referred"),
    *("you expected", "You have the first film", "You feel", "Work it again", "Findings you have"),
)


@pytest.fixture
def cohort(db):
    return CohortFactory()


@pytest.fixture
def tutor(client, cohort):
    client.force_login(seated(cohort, Role.INSTRUCTOR))
    return client


@pytest.fixture
def set_case(cohort):
    """Sets the case, open for the day before and after this moment."""

    def set_case(title="Work of the spring", **fields):
        now = timezone.now()
        window = {"opens_at": now - timedelta(days=1), "closes_at": now + timedelta(days=1)}
        return AssignedCaseFactory(assignment=AssignmentFactory(cohort=cohort, title=title, **window, **fields))

    return set_case


@pytest.fixture
def graded(set_case):
    return set_case()


@pytest.fixture
def page(tutor, cohort):
    return lambda: tutor.get(reverse("cohort-attempts", args=[cohort.pk]))


def student_at(cohort, assigned, name, stages):
    """A student with a seat who has committed so many stages, and has graded themselves after five."""
    student = seated(cohort, Role.STUDENT, username=name)
    attempt = AttemptFactory(student=student, edition=assigned.edition, assigned=assigned)
    doing = {"attempt": attempt, "by": student, "now": timezone.now()}
    for stage in list(Stage)[: min(stages, 5)]:
        actions.commit_stage(stage=stage, **doing)
    if stages > 5:
        actions.self_grade(percents=PERCENTS, **doing)
    return attempt


def rows_in(response):
    rows = re.findall(r"<tr><th scope=\"row\">(.*?)</tr>", response.content.decode())
    return [" ".join(re.sub(r"<[^>]+>", " ", row).split()) for row in rows]


def test_each_student_stands_there_with_how_far_they_have_come(cohort, graded, page):
    seated(cohort, Role.STUDENT, username="student04")
    student_at(cohort, graded, "student03", 0)
    student_at(cohort, graded, "student02", 5)
    done = student_at(cohort, graded, "student01", 6)
    percent = done.grades.get().percent
    unsafe = len(done.grades.get().result["unsafe"])
    assert rows_in(page()) == [
        f"student01 finished {percent:.0f} % {unsafe}",
        "student02 at stage Compare",
        "student03 at stage Look",
        "student04 not begun",
    ]
    assert "1 of 4 finished" in words_of(page())
    assert re.findall(r'href="(/attempts/[^"]+)"', page().content.decode()) == [
        reverse("compare", args=[done.public_id])
    ]


def test_practice_is_never_listed_and_that_is_said(cohort, graded, set_case, page):
    practice = set_case("Only practice", mode=Mode.PRACTICE)
    attempt = student_at(cohort, practice, "student01", 6)
    response = page()
    assert "Only practice" not in words_of(response)
    assert "Practice is private and is never listed here." in words_of(response)
    assert str(attempt.public_id) not in response.content.decode()
    assert rows_in(response) == ["student01 not begun"]


def test_who_has_no_seat_any_more_is_listed_with_what_they_did(cohort, graded, page):
    attempt = student_at(cohort, graded, "student01", 6)
    Seat.objects.filter(membership__user=attempt.student).delete()
    assert rows_in(page())[0].startswith("student01 has no seat any more finished")


@pytest.mark.parametrize("who", ["director", "instructor", "student"])
def test_it_is_there_for_the_cohorts_tutors_alone(client, cohort, who):
    reader = seated(cohort, Role.STUDENT) if who == "student" else member(Role(who))
    client.force_login(reader)
    assert client.get(reverse("cohort-attempts", args=[cohort.pk])).status_code == 404


def test_a_settled_attempt_is_read_and_nothing_in_it_speaks_to_its_student(tutor, cohort, graded):
    attempt = student_at(cohort, graded, "student07", 6)
    for stage in Stage:
        response = tutor.get(reverse(stage, args=[attempt.public_id]))
        assert response.status_code == 200
        words = words_of(response)
        assert "You are reading student07's graded attempt." in words
        assert [said for said in TO_THE_STUDENT if said in words] == [], stage
        assert re.findall(r'<form[^>]*action="([^"]*)"', response.content.decode()) == [reverse("sign-out")]
    assert "The answers agree with the rubric for" in words_of(tutor.get(reverse("compare", args=[attempt.public_id])))


def test_the_same_pages_speak_to_the_student(client, cohort, graded):
    attempt = student_at(cohort, graded, "student07", 6)
    client.force_login(attempt.student)
    said = " ".join(words_of(client.get(reverse(stage, args=[attempt.public_id]))) for stage in Stage)
    assert [words for words in TO_THE_STUDENT if words not in said] == ["You referred"]  # this one did not refer


def test_an_attempt_that_is_not_settled_and_one_of_practice_are_not_there(tutor, cohort, graded):
    begun = student_at(cohort, graded, "student01", 5)
    own = AttemptFactory(student=begun.student)
    for attempt in (begun, own):
        assert tutor.get(reverse("look", args=[attempt.public_id])).status_code == 404


def test_a_tutor_adds_nothing_to_what_they_read(tutor, cohort, graded):
    attempt = student_at(cohort, graded, "student01", 6)
    before = attempt.events.count()
    asked = tutor.post(reverse("ask", args=[attempt.public_id]), {"finding": "c"})
    estimated = tutor.post(reverse("self-grade", args=[attempt.public_id]), PERCENTS)
    assert (asked.status_code, estimated.status_code) == (403, 403)
    assert attempt.events.count() == before
    assert attempt.grades.count() == 1


def test_a_cohort_of_twenty_costs_as_many_queries_as_one_of_two(cohort, graded, page):
    counts = []
    for numbers in (range(2), range(2, 20)):
        for number in numbers:
            student_at(cohort, graded, f"student{number:02}", 6 if number % 2 else 1)
        with CaptureQueriesContext(connection) as asked:
            rows = rows_in(page())
        counts.append((len(rows), len(asked)))
    assert [rows for rows, _ in counts] == [2, 20]
    assert counts[0][1] == counts[1][1]


def test_a_students_home_costs_as_many_queries_for_ten_assignments_as_for_two(client, cohort, set_case):
    client.force_login(seated(cohort, Role.STUDENT))
    counts = []
    for numbers in (range(2), range(2, 10)):
        for number in numbers:
            set_case(f"Work {number}")
        with CaptureQueriesContext(connection) as asked:
            page = client.get(reverse("home"))
        counts.append((words_of(page).count("Closes on"), len(asked)))
    assert [rows for rows, _ in counts] == [2, 10]
    assert counts[0][1] == counts[1][1]
