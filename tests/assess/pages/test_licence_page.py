"""The licence to treat on pages: stated by a director, read by the rest, and shown under the question it bounds."""

import re

import pytest
from django.urls import reverse

from assess import actions
from assess.log import Stage
from casebank.models import Cohort, Licence, Role
from tests.assess.pages.reading import words_of
from tests.assess.pages.school import signed_in
from tests.factories import AttemptFactory, CohortFactory, seated

ALL = {
    "low-3": "supervised",
    "moderate-3": "refer",
    "high-3": "refer",
    "low-4": "treat",
    "moderate-4": "supervised",
    "high-4": "refer",
}


@pytest.fixture
def pupil(cohort):
    return seated(cohort, Role.STUDENT)


def address(cohort):
    return reverse("licence", args=[cohort.programme.slug])


def stated():
    return {row.year: row.value.limits for row in Licence.objects.all()}


def test_a_director_states_it_and_finds_it_again(directing, cohort):
    answer = directing.post(address(cohort), ALL, follow=True)
    assert stated() == {3: ("supervised", "refer", "refer"), 4: ("treat", "supervised", "refer")}
    assert "Stored. It counts for every answer given from now on." in words_of(answer)
    page = answer.content.decode()
    chosen = re.findall(r"<select id=\"id-\w+-\d\"", page)
    assert len(chosen) == 21  # seven years, three levels
    moderate = re.search(r'name="moderate-3".*?</select>', page, re.DOTALL).group()
    assert re.search(r'value="refer" selected', moderate)


@pytest.mark.parametrize(
    ("sent", "sentence"),
    [
        ({"low-4": "treat"}, "Choose for low, moderate and high, or for none of them."),
        ({"low-4": "refer", "moderate-4": "treat", "high-4": "refer"}, "A harder case would be left to the student"),
        ({"low-4": "all", "moderate-4": "refer", "high-4": "refer"}, "Pick one of those on the page."),
    ],
)
def test_what_cannot_be_a_licence_is_said_at_its_year_and_nothing_is_stored(directing, cohort, sent, sentence):
    answer = directing.post(address(cohort), {"low-3": "treat", "moderate-3": "treat", "high-3": "refer"} | sent)
    assert answer.status_code == 400
    assert stated() == {}
    said = words_of(answer)
    assert "Not done. Nothing was stored." in said
    assert said.index("Year 4") < said.index(sentence) < said.index("Year 5")
    assert re.search(r'name="low-3".*?value="treat" selected', answer.content.decode(), re.DOTALL), (
        "what was sent stays"
    )


def test_the_others_of_the_programme_read_it_and_cannot_change_it(directing, tutoring, pupil, cohort):
    directing.post(address(cohort), ALL)
    for client in (tutoring, signed_in(pupil)):
        said = words_of(client.get(address(cohort)))
        assert "Year 4 Treat, with the usual check Treat, supervisor at the chair Refer" in said
        assert "Year 5" not in said  # nothing is stated for it
        assert "State this licence" not in said
        assert client.post(address(cohort), ALL).status_code == 403
        assert client.post(reverse("place-cohorts", args=[cohort.programme.slug]), {}).status_code == 403


def test_nobody_of_another_programme_finds_it(elsewhere, cohort):
    assert elsewhere.get(address(cohort)).status_code == 404
    assert elsewhere.post(address(cohort), ALL).status_code == 404


def test_a_programme_without_one_says_what_counts(tutoring, cohort):
    assert "states no licence to treat: the author's key of each case counts alone" in words_of(
        tutoring.get(address(cohort))
    )


def test_it_is_found_from_the_cohorts_and_from_a_students_home(directing, tutoring, pupil, cohort):
    for client in (directing, tutoring):
        assert address(cohort) in client.get(reverse("cohorts")).content.decode()
    assert address(cohort) not in signed_in(pupil).get(reverse("home")).content.decode()
    directing.post(address(cohort), ALL)
    assert address(cohort) in signed_in(pupil).get(reverse("home")).content.decode()


def test_a_director_says_which_year_each_cohort_is_in(directing, cohort):
    CohortFactory(slug="landing-r", name="The resit", year=5)
    place = reverse("place-cohorts", args=[cohort.programme.slug])
    assert directing.post(place, {"landing-4": "4", "landing-r": ""}).status_code == 302
    assert dict(Cohort.objects.values_list("slug", "year")) == {"landing-4": 4, "landing-r": None}
    answer = directing.post(place, {"landing-4": "9"})
    assert answer.status_code == 400
    assert "A year was sent that is not on this page" in words_of(answer)
    assert Cohort.objects.get(slug="landing-4").year == 4


@pytest.mark.parametrize(("sent", "year"), [("5", 5), ("", None)])
def test_a_new_cohort_is_given_its_year(directing, cohort, sent, year):
    new = {"programme": cohort.programme.slug, "name": "Landing, year 5", "slug": "landing-5", "year": sent}
    assert directing.post(reverse("cohorts"), new).status_code == 302
    assert Cohort.objects.get(slug="landing-5").year == year


def test_a_year_that_does_not_exist_is_said_at_its_field(directing, cohort):
    new = {"programme": cohort.programme.slug, "name": "Landing, year 9", "slug": "landing-9", "year": "9"}
    answer = directing.post(reverse("cohorts"), new)
    assert answer.status_code == 400
    assert "Pick one of those on the page." in words_of(answer)


# ---------------------------------------------------------------- under the question


@pytest.fixture
def weighing(pupil, cohort, noon):
    """The Weigh page of a practice attempt, and its client and attempt."""
    attempt = AttemptFactory(student=pupil)
    actions.commit_stage(attempt=attempt, stage=Stage.LOOK, by=pupil, now=noon)
    client = signed_in(pupil)
    return lambda: words_of(client.get(reverse("weigh", args=[attempt.public_id]))), client, attempt


def in_year(cohort, year, *limits):
    Cohort.objects.filter(pk=cohort.pk).update(year=year)
    low, moderate, high = limits
    Licence.objects.create(programme=cohort.programme, year=year, low=low, moderate=moderate, high=high)


def test_the_students_own_year_stands_under_the_question(weighing, cohort):
    in_year(cohort, 4, "treat", "supervised", "refer")
    Licence.objects.create(programme=cohort.programme, year=3, low="refer", moderate="refer", high="refer")
    said = weighing[0]()
    part = said[said.index("within what your school lets you treat?") :].partition("How sure")[0]
    assert "What year 4 may plan at the most A case judged At the most low Treat, with the usual check" in part
    assert "moderate Treat, with a supervisor at the chair throughout high Refer to a specialist" in part
    assert "year 3" not in part


def test_where_none_is_stated_the_question_says_so(weighing):
    assert "Your school states no licence to treat for your year here" in weighing[0]()


def test_a_committed_answer_is_shown_with_the_licence_it_was_given_under(weighing, cohort, noon):
    in_year(cohort, 4, "treat", "supervised", "refer")
    page, client, attempt = weighing
    sent = {"task": "decision", "values": "refer", "licence": "treat"}  # what the page did not offer is passed over
    assert client.post(reverse("answer", args=[attempt.public_id]), sent).status_code == 303
    actions.commit_stage(attempt=attempt, stage=Stage.WEIGH, by=attempt.student, now=noon)
    Licence.objects.all().delete()
    assert "What year 4 may plan at the most" in page()
    assert attempt.state().answers["decision"].licence.limits == ("treat", "supervised", "refer")


def test_nothing_of_a_licence_stands_under_any_other_question(weighing, cohort):
    in_year(cohort, 4, "treat", "supervised", "refer")
    assert weighing[0]().count("may plan at the most") == 1
