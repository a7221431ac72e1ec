"""Who may see and publish cases: the yes/no and the rows agree for every kind of person and every kind of case."""

import pytest
from django.contrib.auth.models import AnonymousUser
from django.core.exceptions import PermissionDenied, ValidationError
from django.db import IntegrityError

from casebank import policies
from casebank.models import Case, Programme, Role
from tests.factories import CaseFactory, EditionFactory, MembershipFactory, member

PEOPLE = ("student", "instructor", "director", "outsider", "former", "nobody")


@pytest.fixture
def people(student, instructor, director, outsider):
    return {
        "student": student,
        "instructor": instructor,
        "director": director,
        "outsider": outsider,
        "former": member(Role.DIRECTOR, is_active=False),
        "nobody": AnonymousUser(),
    }


@pytest.fixture
def cases(noon):
    return {
        "open": EditionFactory().case,
        "retired": EditionFactory(case=CaseFactory(slug="retired-molar", retired_at=noon)).case,
        "unpublished": CaseFactory(slug="unpublished-molar"),
    }


@pytest.mark.parametrize(
    ("who", "seen"),
    [
        ("student", {"open"}),
        ("instructor", {"open", "retired", "unpublished"}),
        ("director", {"open", "retired", "unpublished"}),
        ("outsider", set()),
        ("former", set()),
        ("nobody", set()),
    ],
)
def test_everyone_sees_their_cases_and_no_others(people, cases, who, seen):
    assert {name for name, case in cases.items() if policies.may_see_case(people[who], case)} == seen


@pytest.mark.parametrize("who", PEOPLE)
def test_the_rows_of_a_list_are_those_the_yes_or_no_allows(people, cases, who):
    allowed = {case for case in Case.objects.all() if policies.may_see_case(people[who], case)}
    assert set(policies.visible_cases(people[who])) == allowed


def test_a_case_of_many_editions_is_listed_once(student, cases):
    EditionFactory(case=cases["open"], number=2, sha256="0" * 64)
    assert list(policies.visible_cases(student)) == [cases["open"]]


@pytest.mark.parametrize("who", PEOPLE)
def test_only_those_who_teach_may_publish(people, who):
    assert policies.may_publish(people[who]) is (who in ("instructor", "director"))


@pytest.mark.parametrize(
    ("role", "holds"),
    [
        (Role.STUDENT, policies.is_student),
        (Role.INSTRUCTOR, policies.is_instructor),
        (Role.DIRECTOR, policies.is_director),
    ],
)
def test_a_role_is_held_by_its_members_alone(people, role, holds):
    assert {who for who in PEOPLE if holds(people[who])} == {role.value}


def test_a_person_has_one_role_in_a_programme(student):
    with pytest.raises(IntegrityError):
        MembershipFactory(user=student, role=Role.DIRECTOR)


@pytest.mark.django_db
def test_a_role_nobody_planned_is_refused_by_the_database():
    with pytest.raises(IntegrityError):
        MembershipFactory(role="visitor")


def test_a_programme_needs_a_time_zone_that_exists():
    Programme(name="School", slug="school", time_zone="Europe/Zurich").clean()
    with pytest.raises(ValidationError, match="no time zone 'Mars/Olympus'"):
        Programme(name="School", slug="school", time_zone="Mars/Olympus").clean()


def test_what_is_not_allowed_is_refused_with_its_sentence():
    policies.require(True, "never said")
    with pytest.raises(PermissionDenied, match="Ask your instructor"):
        policies.require(False, "Ask your instructor.")
