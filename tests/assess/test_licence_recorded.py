"""The licence a plan is made under is added by the server, as it stands at that moment, and by nobody else."""

import json

import pytest
from pydantic import TypeAdapter

from assess import actions
from assess.actions import Refused
from assess.actions.licensing import licence_held
from assess.log import AnyEvent, Stage
from casebank.models import Licence, Role
from tests.factories import (
    FIXTURES,
    AssignedCaseFactory,
    AssignmentFactory,
    AttemptFactory,
    CohortFactory,
    MembershipFactory,
    ProgrammeFactory,
    SeatFactory,
    seated,
)

EVENTS = TypeAdapter(tuple[AnyEvent, ...])
THIRD, FOURTH, FIFTH = ("supervised", "refer", "refer"), ("treat", "supervised", "refer"), ("treat", "treat", "refer")
PLAN = {"stage": "weigh", "task": "decision", "values": ["refer"]}


def state(programme, **years):
    """Licences by year, as `y3=THIRD`; those stated before go."""
    Licence.objects.filter(programme=programme).delete()
    for name, (low, moderate, high) in years.items():
        Licence.objects.create(programme=programme, year=int(name[1:]), low=low, moderate=moderate, high=high)


def sit(student, **cohort):
    """A seat in one more cohort of the student's programme."""
    membership = student.memberships.first()
    return SeatFactory(cohort=CohortFactory(programme=membership.programme, **cohort), membership=membership).cohort


@pytest.fixture
def cohort(db):
    made = CohortFactory(year=4)
    state(made.programme, y3=THIRD, y4=FOURTH, y5=FIFTH)
    return made


@pytest.fixture
def pupil(cohort):
    return seated(cohort, Role.STUDENT)


@pytest.fixture
def assigned(cohort):
    return AssignedCaseFactory(assignment=AssignmentFactory(cohort=cohort))


@pytest.fixture
def at_weigh(pupil, assigned, noon):
    """An attempt in which Weigh is open, at assigned work or at practice of the student's own."""

    def at_weigh(*, own=False):
        of = {} if own else {"assigned": assigned, "edition": assigned.edition}
        attempt = AttemptFactory(student=pupil, **of)
        actions.commit_stage(attempt=attempt, stage=Stage.LOOK, by=pupil, now=noon)
        return attempt

    return at_weigh


def plan(attempt, noon, key="", **changes):
    fields = PLAN | changes
    return actions.record(attempt=attempt, event="chose", fields=fields, by=attempt.student, now=noon, key=key)


def held(stored):
    """Year and limits of an event, read from the text that is stored."""
    licence = json.loads(stored.payload)["licence"]
    return licence and (licence["year"], (licence["low"], licence["moderate"], licence["high"]))


# ---------------------------------------------------------------- whose licence it is


def test_assigned_work_is_answered_under_the_licence_of_the_cohorts_year(at_weigh, pupil, noon):
    sit(pupil, slug="landing-5", year=5)  # a seat in a higher year does not count here
    assert held(plan(at_weigh(), noon)) == (4, FOURTH)


def test_a_cohort_of_no_year_leaves_it_to_the_students_highest_year(at_weigh, cohort, pupil, noon):
    sit(pupil, slug="landing-5", year=5)
    sit(pupil, slug="landing-3", year=3)
    cohort.year = None
    cohort.save()
    assert held(plan(at_weigh(), noon)) == (5, FIFTH)


def test_practice_of_ones_own_is_answered_under_the_highest_year(at_weigh, pupil, noon):
    sit(pupil, slug="landing-3", year=3)
    sit(pupil, slug="landing-r", year=None)
    assert held(plan(at_weigh(own=True), noon)) == (4, FOURTH)


def test_a_year_for_which_nothing_is_stated_has_no_licence(at_weigh, pupil, noon):
    sit(pupil, slug="landing-6", year=6)  # no licence of a lower year stands in for it
    assert held(plan(at_weigh(own=True), noon)) is None


def test_whoever_has_no_seat_has_none(student, noon):
    state(student.memberships.get().programme, y4=FOURTH)
    attempt = AttemptFactory(student=student)
    actions.commit_stage(attempt=attempt, stage=Stage.LOOK, by=student, now=noon)
    assert held(plan(attempt, noon)) is None


def test_whoever_learns_in_two_programmes_practises_under_the_stricter_licence(pupil):
    other = ProgrammeFactory(slug="another-school")
    state(other, y2=THIRD)
    membership = MembershipFactory(programme=other, user=pupil)
    SeatFactory(cohort=CohortFactory(programme=other, year=2), membership=membership)
    assert licence_held(student=pupil, assigned=None).limits == THIRD
    state(other, y2=FIFTH)
    assert licence_held(student=pupil, assigned=None).limits == FOURTH


def test_a_tutors_seat_is_no_students(cohort):
    tutor = seated(cohort, Role.INSTRUCTOR)
    assert licence_held(student=tutor, assigned=None) is None


# ---------------------------------------------------------------- the moment, and the sender


def test_an_answer_keeps_the_licence_it_was_given_under(at_weigh, cohort, noon):
    attempt = at_weigh()
    first = plan(attempt, noon)
    state(cohort.programme, y4=THIRD)
    first.refresh_from_db()
    assert held(first) == (4, FOURTH)
    assert held(plan(attempt, noon, values=["treat"])) == (4, THIRD)
    assert attempt.state().answers["decision"].licence.limits == THIRD


def test_the_same_key_again_is_the_same_answer_though_the_licence_changed_since(at_weigh, cohort, noon):
    attempt = at_weigh()
    first = plan(attempt, noon, key="once")
    state(cohort.programme, y4=THIRD)
    assert plan(attempt, noon, key="once") == first
    with pytest.raises(Refused, match="sent once before with other content"):
        plan(attempt, noon, key="once", values=["treat"])


@pytest.mark.parametrize("sent", [None, {"year": 5, "low": "treat", "moderate": "treat", "high": "treat"}])
def test_a_licence_that_is_sent_is_refused(at_weigh, noon, sent):
    attempt = at_weigh()
    with pytest.raises(Refused, match="This cannot be stored"):
        plan(attempt, noon, licence=sent)
    assert "decision" not in attempt.state().answers


def test_no_other_answer_carries_one(pupil, assigned, noon):
    attempt = AttemptFactory(student=pupil, assigned=assigned, edition=assigned.edition)
    fields = {"stage": "look", "task": "pulpal-diagnosis", "values": ["pulp necrosis"]}
    stored = actions.record(attempt=attempt, event="chose", fields=fields, by=pupil, now=noon)
    assert held(stored) is None


# ---------------------------------------------------------------- a log that is kept whole


def kept(assigned, pupil, noon, **changes):
    log = json.loads((FIXTURES / "logs" / "leaning-abutment.sound.json").read_text(encoding="utf-8"))["events"]
    events = [event | changes if event.get("task") == "decision" else event for event in log]
    events.append({"seq": len(log) + 1, "case": "leaning-abutment", "event": "committed", "stage": "compare"})
    typed = EVENTS.validate_json(json.dumps(events))
    return actions.keep_worked(assigned=assigned, student=pupil, events=typed, seed=7, started_at=noon)


def test_a_log_that_is_kept_is_answered_under_the_licence_too(assigned, pupil, noon):
    attempt = kept(assigned, pupil, noon)
    assert attempt.state().answers["decision"].licence.limits == FOURTH
    decision = next(one for one in attempt.grades.get().result["criteria"] if one["id"] == "decision")
    assert "The school's rule for year 4: a case judged high, as this one is, is referred." in decision["why"]


def test_a_licence_in_a_log_that_is_kept_gives_way_to_the_schools(assigned, pupil, noon):
    lax = {"year": 5, "low": "treat", "moderate": "treat", "high": "treat"}
    assert kept(assigned, pupil, noon, licence=lax).state().answers["decision"].licence.limits == FOURTH
