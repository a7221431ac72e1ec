"""Tallies are what the grades say: in any order, under many at once, and counted anew by a command."""

import random
from collections import Counter
from io import StringIO

import pytest
from django.core.management import CommandError, call_command
from django.db import transaction
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from assess import actions
from assess.actions.counting import count_settled
from assess.grading.grade import GRADED_STAGES
from assess.log import Stage
from assess.models import StoredGrade, Tally, UnsafeTally
from casebank.models import Role
from tests.assess.test_at_once import at_once
from tests.factories import NOON, AssignedCaseFactory, AttemptFactory, StoredGradeFactory, seated

OUTCOMES = {"agree": (True, 0), "over": (True, 1), "under": (True, -1), "other": (True, None), "silent": (False, None)}
ITEMS = ("curvature", "decision", "difficulty-levels.crown")
RULES = ("forced", "needle-bound")
PERCENTS = dict.fromkeys(GRADED_STAGES, 50)

answered = st.fixed_dictionaries({item: st.sampled_from(list(OUTCOMES)) for item in ITEMS})
results = st.lists(st.tuples(answered, st.lists(st.sampled_from(RULES), max_size=4)), min_size=1, max_size=8)
each_example_alone = settings(
    max_examples=25, deadline=None, suppress_health_check=[HealthCheck.function_scoped_fixture]
)


def graded(assigned, said, unsafe=()):
    """A settled attempt whose record says that of each item, counted as settling counts it."""
    criteria = [{"id": item, "answered": OUTCOMES[one][0], "leaning": OUTCOMES[one][1]} for item, one in said.items()]
    attempt = AttemptFactory(
        student=seated(assigned.assignment.cohort, Role.STUDENT), assigned=assigned, edition=assigned.edition
    )
    result = {"criteria": criteria, "unsafe": [{"rule": rule} for rule in unsafe]}
    grade = StoredGradeFactory(attempt=attempt, result=result)
    count_settled(grade)
    return grade


def stored(assigned):
    """Every count that is not nought, by item and outcome, and by rule."""
    found = Counter()
    for tally in Tally.objects.filter(assigned=assigned):
        found.update({(tally.item, name): getattr(tally, name) for name in OUTCOMES})
    found.update(dict(UnsafeTally.objects.filter(assigned=assigned).values_list("rule", "attempts")))
    return +found


@pytest.fixture
def assigned(db):
    return AssignedCaseFactory()


@each_example_alone
@given(results=results, order=st.randoms(use_true_random=False))
def test_whatever_was_settled_in_whatever_order_is_counted_and_a_recount_agrees(assigned, results, order):
    expected = Counter((item, one) for said, _ in results for item, one in said.items())
    expected.update(rule for _, unsafe in results for rule in set(unsafe))
    order.shuffle(results)
    with transaction.atomic():
        for said, unsafe in results:
            graded(assigned, said, unsafe)
        assert stored(assigned) == expected
        assert actions.recount(assigned)
        assert stored(assigned) == expected
        transaction.set_rollback(True)


@each_example_alone
@given(results=results, seed=st.integers(0, 999))
def test_a_recount_mends_whatever_was_spoiled(assigned, results, seed):
    with transaction.atomic():
        for said, unsafe in results:
            graded(assigned, said, unsafe)
        right = stored(assigned)
        tally = random.Random(seed).choice(list(assigned.tallies.all()))
        tally.agree += 1 + seed
        tally.save()
        UnsafeTally.objects.create(assigned=assigned, rule="never-broken", attempts=1)
        assert not actions.recount(assigned)
        assert stored(assigned) == right
        assert actions.recount(assigned)
        transaction.set_rollback(True)


def test_practice_of_ones_own_counts_nowhere(assigned):
    count_settled(StoredGradeFactory())
    assert not Tally.objects.exists()


# ---------------------------------------------------------------- many at once


@pytest.mark.usefixtures("several")
def test_fifty_who_settle_at_once_are_fifty_in_every_tally():
    assigned = AssignedCaseFactory()
    attempts = []
    for _ in range(50):
        student = seated(assigned.assignment.cohort, Role.STUDENT)
        attempts.append(AttemptFactory(student=student, assigned=assigned, edition=assigned.edition))
        for stage in GRADED_STAGES:
            actions.commit_stage(attempt=attempts[-1], stage=Stage(stage), by=student, now=NOON)

    def settle(number):
        attempt = attempts[number]
        return actions.self_grade(attempt=attempt, percents=PERCENTS, by=attempt.student, now=NOON)

    assert all(isinstance(grade, StoredGrade) for grade in at_once(settle))
    assert set(Tally.objects.values_list("silent", flat=True)) == {50}  # nothing was answered
    assert actions.recount(assigned)


# ---------------------------------------------------------------- the command


def tally(*arguments):
    said = StringIO()
    try:
        call_command("tally", *arguments, stdout=said)
    except CommandError as trouble:
        return trouble.returncode, f"{said.getvalue()}{trouble}"
    return 0, said.getvalue()


def test_the_command_says_that_all_is_right(assigned):
    graded(assigned, {"curvature": "under"})
    assert tally() == (0, "1 assigned cases counted: 1 were right, 0 repaired\n")


def test_the_command_names_what_differs_and_repairs_only_if_told_to(assigned):
    graded(assigned, {"curvature": "under"}, ["forced"])
    other = AssignedCaseFactory(assignment=assigned.assignment, edition__number=2, edition__sha256="2" * 64)
    assigned.tallies.update(under=7)
    code, said = tally()
    assert code == 1
    assert f"leaning-abutment, edition 1 in Spring work ({assigned.assignment.public_id}): differs" in said
    assert "1 of 2 assigned cases differ from their grades: run it with --repair" in said
    assert str(other) not in said
    assert stored(assigned)["curvature", "under"] == 7
    code, said = tally("--repair")
    assert (code, stored(assigned)) == (0, {("curvature", "under"): 1, "forced": 1})
    assert "counted anew" in said
    assert "2 assigned cases counted: 1 were right, 1 repaired" in said
    assert tally()[0] == 0


def test_without_any_assignment_there_is_nothing_to_count(db):
    assert tally() == (0, "0 assigned cases counted: 0 were right, 0 repaired\n")
