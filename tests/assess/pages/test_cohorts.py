"""Cohorts: who sees which, how one is made, what its page tells of work and of seats, and new passwords."""

import re
from html import unescape

import pytest
from django.contrib.auth.hashers import check_password
from django.db import connection
from django.test.utils import CaptureQueriesContext
from django.urls import reverse

from assess.models import Mode
from casebank.models import Cohort, Membership, Programme, Role, User
from casebank.policies import may_renew_password
from tests.assess.pages.reading import words_of
from tests.assess.pages.school import set_for, signed_in
from tests.factories import (
    AttemptFactory,
    CohortFactory,
    MembershipFactory,
    ProgrammeFactory,
    SeatFactory,
    StoredGradeFactory,
    UserFactory,
    seated,
)

NEW = {"programme": "invented-school-3", "name": "Landing, year 5", "slug": "landing-5"}


def page_of(client, cohort):
    return client.get(reverse("cohort", args=[cohort.pk]))


def renew(client, account):
    return client.post(reverse("renew-password", args=[account.memberships.get().pk]))


# ---------------------------------------------------------------- the list


def test_a_director_sees_every_cohort_and_a_tutor_their_own(directing, tutoring, cohort):
    CohortFactory(slug="landing-r", name="The resit")
    seated(cohort, Role.STUDENT)
    set_for(cohort)
    set_for(cohort, closed=True)
    said = words_of(directing.get(reverse("cohorts")))
    assert "Landing, year 4 landing-4 1 1 0 1 1" in said  # a student, a tutor; none to come, one open, one closed
    assert "The resit landing-r 0 0 0 0 0" in said
    assert "Times are those of Europe/Zurich." in said
    said = words_of(tutoring.get(reverse("cohorts")))
    assert "Landing, year 4" in said
    assert "The resit" not in said
    assert "Make a cohort" not in said


def test_the_director_of_another_programme_sees_none_of_it(elsewhere, cohort, student, tutor):
    set_for(cohort)
    said = words_of(elsewhere.get(reverse("cohorts")))
    assert "Landing" not in said
    assert "Another School" in said
    work = cohort.assignments.get()
    addresses = [
        reverse("cohort", args=[cohort.pk]),
        reverse("set-assignment", args=[cohort.pk]),
        reverse("roster", args=[cohort.programme.slug]),
        reverse("assignment-table", args=[work.public_id]),
    ]
    assert {elsewhere.get(address).status_code for address in addresses} == {404}
    assert elsewhere.post(reverse("withdraw-assignment", args=[work.public_id])).status_code == 404
    assert renew(elsewhere, tutor).status_code == 404
    assert signed_in(student).get(reverse("cohorts")).status_code == 404


def test_an_address_of_no_cohort_is_not_there(directing, cohort):
    for pk in (0, cohort.pk + 999, "9" * 30):
        assert directing.get(f"/cohorts/{pk}/").status_code == 404
        assert directing.post(f"/memberships/{pk}/password/").status_code == 404


# ---------------------------------------------------------------- a new cohort


def test_a_director_makes_a_cohort_and_comes_to_its_page(directing):
    made = directing.post(reverse("cohorts"), NEW)
    cohort = Cohort.objects.get(slug="landing-5")
    assert made.url == reverse("cohort", args=[cohort.pk])
    said = words_of(directing.get(made.url))
    assert "Nothing is set for this cohort yet." in said
    assert "Fill it from a roster" in said


@pytest.mark.parametrize(
    ("wrong", "sentence"),
    [
        ({"name": " "}, "Give the cohort a name"),
        ({"slug": "landing 5"}, "Give a short name of small letters, digits and hyphens"),
        ({"slug": "landing-4"}, "There is a cohort landing-4 in this programme already: choose another short name."),
        ({"programme": "another-school"}, "Choose one of the programmes you direct."),
        ({"name": "x" * 121}, "Say it in at most 120 characters."),
        ({"slug": "\0"}, "Null characters are not allowed."),
    ],
)
def test_what_is_wrong_is_said_at_its_field_and_nothing_typed_is_lost(directing, cohort, wrong, sentence):
    ProgrammeFactory(slug="another-school")
    MembershipFactory(
        programme=ProgrammeFactory(slug="third-school"), user=User.objects.get(username="director1"), role=Role.DIRECTOR
    )
    answer = directing.post(reverse("cohorts"), NEW | wrong)
    assert answer.status_code == 400
    assert sentence in words_of(answer)
    page = unescape(answer.content.decode())
    assert [typed for typed in (NEW | wrong).values() if f'value="{typed}"' not in page] in ([], ["another-school"])
    assert list(Cohort.objects.all()) == [cohort]


def test_an_instructor_makes_none(tutoring, cohort):
    refused = tutoring.post(reverse("cohorts"), NEW)
    assert refused.status_code == 403
    assert "Only a programme's director can make a cohort." in words_of(refused)
    assert list(Cohort.objects.all()) == [cohort]


# ---------------------------------------------------------------- one cohort


def finish(assigned, count):
    for _ in range(count):
        student = seated(assigned.assignment.cohort, Role.STUDENT)
        attempt = AttemptFactory(student=student, assigned=assigned, edition=assigned.edition)
        StoredGradeFactory(attempt=attempt)


def test_finished_work_is_counted_for_a_grade_and_from_five_on_in_practice(directing, cohort):
    finish(set_for(cohort, title="Graded one"), 2)
    few = set_for(cohort, title="Practice", mode=Mode.PRACTICE)
    finish(few, 4)
    said = words_of(page_of(directing, cohort))
    assert re.search(r"Graded one graded open now .*? 2 of 6 ", said)
    assert re.search(r"Practice practice open now .*? fewer than 5 ", said)
    assert "4 of" not in said
    finish(few, 1)
    assert re.search(r"Practice practice open now .*? 5 of 7 ", words_of(page_of(directing, cohort)))


def test_times_are_those_of_the_programme_with_its_zone_named(directing, cohort):
    work = set_for(cohort).assignment
    work.opens_at = work.opens_at.replace(year=2026, month=7, day=1, hour=10, minute=5)
    work.save()
    assert "Opens 2026-07-01 12:05, closes" in words_of(page_of(directing, cohort))  # summer time: two hours ahead
    assert "(Europe/Zurich)" in words_of(page_of(directing, cohort))


def test_a_page_of_many_seats_costs_no_more_queries_than_one_of_two(directing, cohort):
    asked = []
    for numbers in (range(2), range(2, 20)):
        for number in numbers:
            seated(cohort, Role.STUDENT)
            set_for(cohort, title=f"Work {number}")
        with CaptureQueriesContext(connection) as queries:
            page = page_of(directing, cohort)
        asked.append((len(queries), page.content.count(b"Give it now")))
    assert asked[0][0] == asked[1][0]
    assert asked[1][1] - asked[0][1] == 18


def test_a_list_of_many_cohorts_costs_no_more_queries_than_one_of_two(directing):
    asked = []
    for numbers in (range(2), range(2, 20)):
        for number in numbers:
            set_for(CohortFactory(slug=f"cohort-{number}"))
        with CaptureQueriesContext(connection) as queries:
            directing.get(reverse("cohorts"))
        asked.append(len(queries))
    assert asked[0] == asked[1]


# ---------------------------------------------------------------- passwords


def test_a_password_is_shown_once_works_and_is_kept_nowhere(directing, cohort):
    account = seated(cohort, Role.STUDENT, username="student07")
    answer = renew(directing, account)
    assert answer.status_code == 200
    assert "no-store" in answer["Cache-Control"]
    password = re.search(r'class="new-password">([a-z0-9-]+)<', answer.content.decode())[1]
    account.refresh_from_db()
    assert check_password(password, account.password)
    assert password not in page_of(directing, cohort).content.decode()
    again = renew(directing, account).content.decode()
    assert password not in again
    account.refresh_from_db()
    assert not check_password(password, account.password)


def test_the_password_of_whoever_is_not_theirs_is_not_given(directing, cohort, director):
    elsewhere_too = seated(cohort, Role.STUDENT)
    MembershipFactory(programme=ProgrammeFactory(slug="another-school"), user=elsewhere_too)
    own = elsewhere_too.memberships.get(programme=cohort.programme)
    for membership in (own, director.memberships.get()):
        refused = directing.post(reverse("renew-password", args=[membership.pk]))
        assert refused.status_code == 403
        assert "Only the programme's director can renew a password" in words_of(refused)


def test_the_button_stands_where_the_policy_allows_it(directing, cohort, director):
    for fields in ({}, {"is_staff": True}, {"is_superuser": True}):
        for role in (Role.STUDENT, Role.INSTRUCTOR):
            seated(cohort, role, **fields)
    elsewhere_too = seated(cohort, Role.STUDENT)
    MembershipFactory(programme=ProgrammeFactory(slug="another-school"), user=elsewhere_too)
    page = page_of(directing, cohort).content.decode()
    for seat in cohort.seats.select_related("membership"):
        address = reverse("renew-password", args=[seat.membership_id])
        assert (address in page) is may_renew_password(director, seat.membership)


def test_a_tutor_is_offered_no_password(tutoring, cohort):
    account = seated(cohort, Role.STUDENT)
    assert "Give it now" not in words_of(page_of(tutoring, cohort))
    assert renew(tutoring, account).status_code == 404


def test_a_seat_without_a_password_says_that_nobody_can_sign_in_yet(directing, cohort):
    membership = MembershipFactory(programme=cohort.programme, user=UserFactory(username="student01"))
    SeatFactory(cohort=cohort, membership=membership)
    assert "student01 cannot sign in yet" in words_of(page_of(directing, cohort))
    renew(directing, membership.user)
    assert "student01 can sign in" in words_of(page_of(directing, cohort))
    assert (Membership.objects.filter(user=membership.user).count(), Programme.objects.count()) == (1, 1)
