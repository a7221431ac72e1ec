"""Assigned work, as its student meets it: before it opens, while it is open, after it has closed."""

from datetime import timedelta

import pytest
from django.urls import reverse
from django.utils import timezone

from assess import actions
from assess.log import Stage
from assess.models import Assignment, Attempt, Feedback, Mode
from casebank.actions import retire_case
from casebank.models import Role
from tests.assess.pages.reading import PERCENTS, words_of
from tests.factories import AssignedCaseFactory, AssignmentFactory, CohortFactory, EditionFactory, seated

ANSWER = {"task": "canal-count", "value": "2", "confidence": "sure"}
DAY = timedelta(days=1)


@pytest.fixture
def cohort(db):
    return CohortFactory()


@pytest.fixture
def learner(client, cohort):
    """A student with a seat, signed in."""
    client.learner = seated(cohort, Role.STUDENT)
    client.force_login(client.learner)
    return client


@pytest.fixture
def set_case(cohort):
    """Sets the case; it opens and closes so many days from now."""

    def set_case(opens=-1, closes=1, **fields):
        now = timezone.now()
        window = {"opens_at": now + opens * DAY, "closes_at": now + closes * DAY}
        return AssignedCaseFactory(assignment=AssignmentFactory(cohort=cohort, **window, **fields))

    return set_case


def page_of(assigned):
    return reverse("assigned-case", args=[assigned.assignment.public_id, assigned.edition.case.slug])


def begin(client, assigned):
    return Attempt.objects.get(public_id=client.post(page_of(assigned)).url.split("/")[2])


def close(assigned):
    """Let the assignment have closed a moment ago."""
    Assignment.objects.filter(pk=assigned.assignment_id).update(closes_at=timezone.now())


def commit_all(attempt, *, settle=False):
    doing = {"attempt": attempt, "by": attempt.student, "now": timezone.now()}
    for stage in list(Stage)[:-1]:
        actions.commit_stage(stage=stage, **doing)
    if settle:
        actions.self_grade(percents=PERCENTS, **doing)


def to(name, attempt, *args):
    return reverse(name, args=[attempt.public_id, *args])


def test_home_tells_what_is_set_until_when_and_what_graded_means(learner, set_case):
    assigned = set_case(title="Work of the spring")
    page = learner.get(reverse("home"))
    words = words_of(page)
    assert "Work of the spring graded For Landing, year 4. Closes on" in words
    assert "Europe/Zurich" in words
    assert "your tutors read it" in words
    assert "Not begun." in words
    assert page_of(assigned) in page.content.decode()


def test_a_time_is_told_on_the_clock_of_the_programme(learner, set_case):
    assigned = set_case()
    # noon in UTC is 13:00 in Zurich in winter and 14:00 in summer
    closes = timezone.now().replace(year=timezone.now().year + 1, month=1, day=15, hour=12, minute=0)
    Assignment.objects.filter(pk=assigned.assignment_id).update(closes_at=closes)
    assert f"{closes.year}-01-15 13:00, Europe/Zurich" in words_of(learner.get(reverse("home")))
    Assignment.objects.filter(pk=assigned.assignment_id).update(closes_at=closes.replace(month=7))
    assert f"{closes.year}-07-15 14:00, Europe/Zurich" in words_of(learner.get(reverse("home")))


def test_home_says_that_practice_is_private(learner, set_case):
    set_case(mode=Mode.PRACTICE)
    words = words_of(learner.get(reverse("home")))
    assert "Practice is private: nobody else reads it." in words
    assert "your tutors read it" not in words


def test_home_shows_what_is_open_then_what_is_coming_and_what_closed_lately(learner, set_case):
    for title, opens, closes in (("Closed", -9, -2), ("Coming", 2, 9), ("Open", -1, 1), ("Long closed", -90, -31)):
        set_case(title=title, opens=opens, closes=closes)
    words = words_of(learner.get(reverse("home")))
    places = [words.index(f"{title} graded") for title in ("Open", "Coming", "Closed")]
    assert places == sorted(places)
    assert "Long closed" not in words


def test_a_start_makes_one_attempt_and_a_second_start_returns_it(learner, set_case):
    assigned = set_case()
    assert "Start this case" in words_of(learner.get(page_of(assigned)))
    first, second = (learner.post(page_of(assigned)) for _ in range(2))
    attempt = Attempt.objects.get()
    assert first.url == second.url == to("look", attempt)
    assert (attempt.assigned, attempt.edition) == (assigned, assigned.edition)
    assert "Go on with Look" in words_of(learner.get(page_of(assigned)))
    assert to("look", attempt) in learner.get(reverse("home")).content.decode()


def test_it_is_resumed_at_its_stage_and_stays_on_its_edition(learner, set_case):
    assigned = set_case()
    attempt = begin(learner, assigned)
    learner.post(to("commit", attempt, "look"))
    EditionFactory(case=assigned.edition.case, number=2, sha256="0" * 64, title="A later edition")
    assert learner.post(page_of(assigned)).url == to("weigh", attempt)
    assert "A later edition" not in words_of(learner.get(reverse("home")))


def test_before_it_opens_it_is_announced_and_cannot_be_started(learner, set_case):
    assigned = set_case(opens=2, closes=9, title="Next month")
    page = words_of(learner.get(page_of(assigned)))
    assert "It opens on" in page
    assert "Start this case" not in page
    refused = learner.post(page_of(assigned))
    assert refused.status_code == 409
    assert "This has not opened yet." in words_of(refused)
    assert not Attempt.objects.exists()


def test_after_closing_nothing_is_started(learner, set_case):
    assigned = set_case(opens=-9, closes=-1)
    assert "It closed on" in words_of(learner.get(page_of(assigned)))
    refused = learner.post(page_of(assigned))
    assert refused.status_code == 409
    assert "This closed on" in words_of(refused)
    assert not Attempt.objects.exists()


def test_after_closing_answers_and_commits_are_refused_and_what_was_answered_stays(learner, set_case):
    assigned = set_case()
    attempt = begin(learner, assigned)
    learner.post(to("answer", attempt), ANSWER)
    close(assigned)
    late = [
        learner.post(to("answer", attempt), ANSWER | {"value": "4"}),
        learner.post(to("ask", attempt), {"finding": "c"}),
        learner.post(to("commit", attempt, "look")),
        learner.get(to("commit", attempt, "look")),
    ]
    assert {response.status_code for response in late} == {409}
    assert all("This closed on" in words_of(response) for response in late)
    assert attempt.events.count() == 1
    page = learner.get(to("look", attempt))
    assert "This closed on" in words_of(page)
    assert "This stage is committed." not in words_of(page)
    assert 'name="task"' not in page.content.decode()
    assert "2" in words_of(page).partition("Number of canals")[2]
    assert "Read Look" in words_of(learner.get(reverse("home")))


def test_the_own_estimate_may_come_after_the_closing_and_brings_the_result(learner, set_case):
    assigned = set_case()
    attempt = begin(learner, assigned)
    commit_all(attempt)
    close(assigned)
    assert "Go on with Compare" in words_of(learner.get(reverse("home")))
    assert learner.post(to("self-grade", attempt), PERCENTS).status_code == 303
    assert "Agreement by stage" in words_of(learner.get(to("compare", attempt)))
    assert attempt.grades.count() == 1


def test_pages_of_an_assigned_attempt_name_the_assignment_and_its_closing(learner, set_case):
    attempt = begin(learner, set_case(title="Work of the spring"))
    page = words_of(learner.get(to("look", attempt)))
    assert "graded Set in “Work of the spring” for Landing, year 4. It closes on" in page


def test_results_that_are_kept_back_show_no_figure_until_the_closing(learner, set_case):
    assigned = set_case(feedback=Feedback.AFTER_CLOSING)
    attempt = begin(learner, assigned)
    commit_all(attempt, settle=True)
    page = words_of(learner.get(to("compare", attempt)))
    assert "Your estimate is stored Results open on" in page
    assert "%" not in page
    assert "Reference" not in page
    chart = learner.get(to("canal-chart", attempt, "MB"))
    assert chart.status_code == 409
    assert "Results open on" in words_of(chart)
    again = learner.post(to("self-grade", attempt), PERCENTS | {"look": 1})
    assert again.status_code == 303
    assert "%" not in words_of(learner.get(again.url))
    close(assigned)
    assert "Agreement by stage" in words_of(learner.get(to("compare", attempt)))
    assert learner.get(to("canal-chart", attempt, "MB")).status_code == 200


def test_a_case_set_as_graded_work_is_not_practised_meanwhile(learner, set_case):
    graded = set_case(title="Work of the spring")
    own = reverse("case", args=[graded.edition.case.slug])
    page = learner.get(own)
    assert "This case is set as graded work in “Work of the spring” until" in words_of(page)
    assert page_of(graded) in page.content.decode()
    assert "Start this case" not in words_of(page)
    refused = learner.post(own)
    assert refused.status_code == 409
    assert "work it there" in words_of(refused)
    practice = set_case(mode=Mode.PRACTICE)
    assert "To the graded case" in words_of(learner.get(page_of(practice)))
    assert learner.post(page_of(practice)).status_code == 409
    commit_all(begin(learner, graded), settle=True)
    assert "Start this case" in words_of(learner.get(own))
    assert learner.post(page_of(practice)).status_code == 302


def test_lists_name_the_assignment_of_what_is_finished(learner, set_case):
    assigned = set_case(title="Work of the spring")
    commit_all(begin(learner, assigned), settle=True)
    assert "Set in “Work of the spring”. Tooth 37." in words_of(learner.get(reverse("home")))
    own = learner.get(reverse("case", args=[assigned.edition.case.slug]))
    assert "set in “Work of the spring”" in words_of(own)


def test_a_case_that_was_taken_out_is_worked_on_where_it_was_set(learner, set_case, instructor):
    assigned = set_case()
    retire_case(case=assigned.edition.case, by=instructor, now=timezone.now())
    assert learner.get(reverse("case", args=[assigned.edition.case.slug])).status_code == 404
    assert learner.get(page_of(assigned)).status_code == 200
    assert learner.post(page_of(assigned)).url == to("look", Attempt.objects.get())


def test_another_cohorts_work_is_not_there(learner, set_case):
    foreign = AssignedCaseFactory(assignment=AssignmentFactory(cohort=CohortFactory(slug="landing-5")))
    assert learner.get(page_of(foreign)).status_code == learner.post(page_of(foreign)).status_code == 404
    own = set_case()
    elsewhere = reverse("assigned-case", args=[own.assignment.public_id, "no-such-case"])
    assert learner.get(elsewhere).status_code == 404
