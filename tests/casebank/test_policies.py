"""Who may see and publish cases: the yes/no and the rows agree for every kind of person and every kind of case."""

import pytest
from django.contrib.auth.models import AnonymousUser
from django.core.exceptions import PermissionDenied, ValidationError
from django.db import IntegrityError

from casebank import policies
from casebank.models import Case, Cohort, Draft, Programme, Role
from tests.factories import (
    CaseFactory,
    CohortFactory,
    DraftFactory,
    EditionFactory,
    MembershipFactory,
    ProgrammeFactory,
    UserFactory,
    member,
    seated,
)

PEOPLE = ("student", "instructor", "director", "outsider", "former", "nobody")
TEACHERS = ("instructor", "director")


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
@pytest.mark.parametrize(
    "may",
    [policies.may_import, policies.may_publish, policies.may_retire, policies.teaches],
    ids=lambda may: may.__name__,
)
def test_only_those_who_teach_import_publish_and_retire(people, may, who):
    assert may(people[who]) is (who in TEACHERS)


@pytest.mark.parametrize("who", PEOPLE)
def test_drafts_are_listed_to_whoever_may_see_them(people, who):
    draft = DraftFactory()
    allowed = {one for one in Draft.objects.all() if policies.may_see_draft(people[who], one)}
    assert set(policies.visible_drafts(people[who])) == allowed
    assert (draft in allowed) is (who in TEACHERS)


@pytest.fixture
def cohorts(db):
    other = ProgrammeFactory(name="Another school", slug="another-school")
    return {
        "own": CohortFactory(),
        "same programme": CohortFactory(slug="landing-5"),
        "other programme": CohortFactory(programme=other, slug="first"),
    }


@pytest.fixture
def staff(people, cohorts):
    """Everyone, with those who have a seat and the director of another programme."""
    elsewhere = member(Role.DIRECTOR)
    elsewhere.memberships.update(programme=cohorts["other programme"].programme)
    return people | {
        "tutor": seated(cohorts["own"], Role.INSTRUCTOR),
        "seated student": seated(cohorts["own"], Role.STUDENT),
        "former tutor": seated(cohorts["own"], Role.INSTRUCTOR, is_active=False),
        "other director": elsewhere,
    }


STAFF = (*PEOPLE, "tutor", "seated student", "former tutor", "other director")


@pytest.mark.parametrize("who", STAFF)
def test_cohorts_are_listed_to_whoever_may_see_them(staff, cohorts, who):
    allowed = {one for one in Cohort.objects.all() if policies.may_see_cohort(staff[who], one)}
    assert set(policies.visible_cohorts(staff[who])) == allowed
    seen = {"director": {"own", "same programme"}, "tutor": {"own"}, "other director": {"other programme"}}
    assert {name for name, one in cohorts.items() if one in allowed} == seen.get(who, set())


@pytest.mark.parametrize("who", STAFF)
def test_programmes_are_listed_to_whoever_directs_them(staff, cohorts, who):
    allowed = {one for one in Programme.objects.all() if policies.may_direct(staff[who], one)}
    assert set(policies.directed_programmes(staff[who])) == allowed
    assert len(allowed) == (who in ("director", "other director"))


def test_a_cohort_is_tutored_by_the_instructors_with_a_seat(staff, cohorts):
    assert {who for who in STAFF if policies.tutors(staff[who], cohorts["own"])} == {"tutor"}
    assert not any(policies.tutors(staff[who], cohorts["same programme"]) for who in STAFF)


def test_a_password_is_renewed_by_the_director_for_who_has_no_part_elsewhere(staff, cohorts):
    own, other = (cohorts[name].programme for name in ("own", "other programme"))
    student = MembershipFactory(programme=own)
    assert {who for who in STAFF if policies.may_renew_password(staff[who], student)} == {"director"}
    both = MembershipFactory(programme=own)
    MembershipFactory(programme=other, user=both.user)
    keeper = MembershipFactory(programme=own, user=UserFactory(is_staff=True))
    for membership in (both, keeper, staff["director"].memberships.get()):
        assert not policies.may_renew_password(staff["director"], membership)


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
