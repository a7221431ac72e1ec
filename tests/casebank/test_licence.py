"""The licence to treat as it is stored: who states it, what the database refuses, and what an older bank gets."""

from itertools import product

import pytest
from django.core.exceptions import PermissionDenied
from django.core.management import call_command
from django.db import IntegrityError, connection, transaction
from django.db.migrations.executor import MigrationExecutor

from casebank import actions, policies
from casebank.actions import Refused
from casebank.models import Cohort, Licence, Programme, Role
from casebank.rubric import LIMITS
from tests.factories import CohortFactory, MembershipFactory, ProgrammeFactory, UserFactory, member

FOURTH = ("treat", "supervised", "refer")


@pytest.fixture
def programme(db):
    return ProgrammeFactory()


def state(programme, by, years):
    return actions.state_licence(programme=programme, years=years, by=by)


def stated(programme):
    return {row.year: row.value.limits for row in Licence.objects.filter(programme=programme)}


# ---------------------------------------------------------------- stating it


def test_a_director_states_it_anew_and_what_is_left_out_is_gone(programme, director):
    state(programme, director, {3: ("supervised", "refer", "refer"), 4: FOURTH})
    assert stated(programme) == {3: ("supervised", "refer", "refer"), 4: FOURTH}
    state(programme, director, {4: ("treat", "treat", "refer"), 5: FOURTH})
    assert stated(programme) == {4: ("treat", "treat", "refer"), 5: FOURTH}
    state(programme, director, {})
    assert stated(programme) == {}


def test_another_programmes_licence_is_left_alone(programme, director):
    other = ProgrammeFactory(slug="another-school")
    Licence.objects.create(programme=other, year=4, low="refer", moderate="refer", high="refer")
    state(programme, director, {4: FOURTH})
    assert stated(other) == {4: ("refer",) * 3}


@pytest.mark.parametrize(
    ("years", "sentence"),
    [
        ({0: FOURTH}, "Year 0 does not exist"),
        ({8: FOURTH}, "Year 8 does not exist"),
        ({3: ("refer", "treat", "refer")}, "Year 3: a harder case would be left to the student"),
        ({3: ("alone", "refer", "refer")}, "Year 3: give one of treat, supervised, refer"),
        ({3: ("treat", "refer")}, "Year 3: give one of treat, supervised, refer"),
        ({4: FOURTH, 3: ("treat", "refer", "supervised")}, "Year 3: a harder case"),
    ],
)
def test_what_cannot_be_a_licence_is_refused_and_nothing_is_stored(programme, director, years, sentence):
    with pytest.raises(Refused, match=sentence):
        state(programme, director, years)
    assert stated(programme) == {}


@pytest.mark.parametrize("role", [Role.STUDENT, Role.INSTRUCTOR])
def test_nobody_else_states_it_or_says_which_year_a_cohort_is_in(programme, role):
    with pytest.raises(PermissionDenied):
        state(programme, member(role), {4: FOURTH})
    with pytest.raises(PermissionDenied):
        actions.place_cohorts(programme=programme, years={}, by=member(role))


def test_the_director_of_another_programme_does_not_either(programme):
    elsewhere = MembershipFactory(programme=ProgrammeFactory(slug="another-school"), role=Role.DIRECTOR).user
    with pytest.raises(PermissionDenied):
        state(programme, elsewhere, {4: FOURTH})


# ---------------------------------------------------------------- who reads it


def test_whoever_belongs_to_the_programme_reads_it_and_the_rows_agree(programme, director):
    people = {
        "student": member(Role.STUDENT),
        "instructor": member(Role.INSTRUCTOR),
        "director": director,
        "outsider": UserFactory(),
        "former": member(Role.DIRECTOR, is_active=False),
    }
    assert {name for name, one in people.items() if policies.may_see_licence(one, programme)} == {
        "student",
        "instructor",
        "director",
    }
    assert {name for name, one in people.items() if policies.may_state_licence(one, programme)} == {"director"}
    for one in people.values():
        assert set(policies.own_programmes(one)) == {
            each for each in Programme.objects.all() if policies.may_see_licence(one, each)
        }


# ---------------------------------------------------------------- the year of a cohort


def test_a_cohort_is_made_with_a_year_or_without_and_can_be_moved_up(programme, director):
    made = actions.make_cohort(programme=programme, slug="landing-4", name="Landing", year=4, by=director)
    resit = actions.make_cohort(programme=programme, slug="landing-r", name="Resit", by=director)
    assert (made.year, resit.year) == (4, None)
    actions.place_cohorts(programme=programme, years={"landing-4": 5, "landing-r": 3}, by=director)
    assert dict(Cohort.objects.values_list("slug", "year")) == {"landing-4": 5, "landing-r": 3}
    actions.place_cohorts(programme=programme, years={"landing-r": None}, by=director)
    assert dict(Cohort.objects.values_list("slug", "year")) == {"landing-4": 5, "landing-r": None}


@pytest.mark.parametrize("years", [{"landing-4": 9}, {"landing-4": 0}, {"landing-9": 4}])
def test_a_year_or_a_cohort_that_does_not_exist_is_refused(programme, director, years):
    CohortFactory(programme=programme, year=4)
    with pytest.raises(Refused):
        actions.place_cohorts(programme=programme, years=years, by=director)
    assert Cohort.objects.get().year == 4


def test_a_cohort_cannot_be_made_in_a_year_that_does_not_exist(programme, director):
    with pytest.raises(Refused, match="between 1 and 7"):
        actions.make_cohort(programme=programme, slug="landing-9", name="Landing", year=9, by=director)


# ---------------------------------------------------------------- what the database holds


def is_taken(**row):
    try:
        with transaction.atomic():
            Licence.objects.create(**row)
    except IntegrityError:
        return False
    return True


def test_the_database_takes_the_ten_triples_whose_caution_never_falls_and_no_other(programme):
    taken = set()
    for triple in product(LIMITS, repeat=3):
        if is_taken(programme=programme, year=4, **dict(zip(("low", "moderate", "high"), triple, strict=True))):
            taken.add(triple)
            Licence.objects.all().delete()
    ranks = [tuple(map(LIMITS.index, triple)) for triple in taken]
    assert len(taken) == 10
    assert all(low <= moderate <= high for low, moderate, high in ranks)


@pytest.mark.parametrize("row", [{"year": 0}, {"year": 8}, {"high": "never"}, {"low": ""}])
def test_the_database_refuses_a_year_and_a_limit_that_do_not_exist(programme, row):
    fitting = {"year": 4, "low": "treat", "moderate": "treat", "high": "refer"}
    assert not is_taken(programme=programme, **(fitting | row))
    assert is_taken(programme=programme, **fitting)
    assert not is_taken(programme=programme, **fitting), "one licence a year"


@pytest.mark.parametrize("year", [0, 8])
def test_the_database_refuses_a_cohort_in_a_year_that_does_not_exist(programme, year):
    with pytest.raises(IntegrityError), transaction.atomic():
        CohortFactory(programme=programme, year=year)


@pytest.mark.django_db(transaction=True)
def test_cohorts_of_an_older_bank_are_in_no_year_and_nothing_is_licensed():
    executor = MigrationExecutor(connection)
    executor.migrate([("assess", None), ("casebank", "0004_cohorts_and_drafts")])
    before = executor.loader.project_state([("casebank", "0004_cohorts_and_drafts")]).apps
    school = before.get_model("casebank", "Programme").objects.create(name="Old School", slug="old-school")
    before.get_model("casebank", "Cohort").objects.create(programme=school, slug="old-4", name="Old, year 4")
    call_command("migrate", verbosity=0)
    assert Cohort.objects.get(slug="old-4").year is None
    assert not Licence.objects.exists()
