"""Whatever grades say: applied and undone, all is as before, and tallies are what a recount gives at every moment."""

from collections import Counter

import pytest
from django.db import IntegrityError, transaction
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from assess import actions
from assess.actions.counting import count_settled, shift
from assess.grading import GRADER_VERSION
from assess.grading.movement import movement
from assess.models import RegradeBatch, Regraded, RegradeState, StoredGrade, Tally
from casebank.models import Role
from tests.assess.regrading import LATER, REASON
from tests.assess.test_counting import OUTCOMES, RULES, answered, stored
from tests.factories import AssignedCaseFactory, AttemptFactory, StoredGradeFactory, seated

each_example_alone = settings(
    max_examples=25, deadline=None, suppress_health_check=[HealthCheck.function_scoped_fixture]
)
said = st.tuples(answered, st.sets(st.sampled_from(RULES)), st.floats(0, 100))
regrades = st.lists(st.tuples(said, st.one_of(st.none(), said)), min_size=1, max_size=6)


@pytest.fixture
def assigned(db):
    return AssignedCaseFactory()


def record(items, rules):
    return {
        "criteria": [
            {"id": item, "answered": OUTCOMES[one][0], "leaning": OUTCOMES[one][1], "credit": 0.5, "weight": 1.0}
            for item, one in items.items()
        ],
        "unsafe": [{"rule": rule} for rule in sorted(rules)],
    }


def batch_of(assigned, pairs):
    """A regrade as a worker leaves it, whose grades before and after are made up; the latter none where refused."""
    batch = RegradeBatch.objects.create(
        case=assigned.edition.case,
        programme=assigned.assignment.cohort.programme,
        edition=assigned.edition,
        newest=1,
        grader=GRADER_VERSION,
        state=RegradeState.READY,
        whole=len(pairs),
        done=len(pairs),
        drafted_at=LATER,
    )
    for (items, rules, percent), after in pairs:
        student = seated(assigned.assignment.cohort, Role.STUDENT)
        attempt = AttemptFactory(student=student, assigned=assigned, edition=assigned.edition)
        former = StoredGradeFactory(
            attempt=attempt, percent=percent, result=record(items, rules), grader=GRADER_VERSION
        )
        count_settled(former)
        if after is None:
            Regraded.objects.create(batch=batch, attempt=attempt, former=former, trouble="It cannot be graded.")
            continue
        result = record(after[0], after[1])
        grade = StoredGradeFactory(
            **{"attempt": attempt, "percent": after[2], "result": result, "grader": GRADER_VERSION},
            **{"criteria": "another", "supersedes": former, "regrade": batch},
        )
        moved = movement(former.result, result)
        Regraded.objects.create(batch=batch, attempt=attempt, former=former, grade=grade, moved=moved)
    return batch


def standing():
    return list(StoredGrade.objects.standing().order_by("attempt").values_list("attempt", "pk", "percent"))


@each_example_alone
@given(pairs=regrades)
def test_applied_the_figures_are_the_new_ones_and_undone_the_former_ones(assigned, pairs):
    with transaction.atomic():
        batch = batch_of(assigned, pairs)
        before, counted = standing(), stored(assigned)
        actions.apply_regrade(batch=batch, reason=REASON, by=None, now=LATER)
        expected = Counter()
        for former, after in pairs:
            items, rules, _ = after or former
            expected.update((item, one) for item, one in items.items())
            expected.update(rules)
        assert stored(assigned) == expected
        assert [row[2] for row in standing()] == [(after or former)[2] for former, after in pairs]
        assert actions.recount(assigned)
        actions.undo_regrade(batch=batch, reason=REASON, by=None, now=LATER)
        assert standing() == before
        assert stored(assigned) == counted
        assert actions.recount(assigned)
        transaction.set_rollback(True)


@each_example_alone
@given(
    items=st.dictionaries(
        st.tuples(st.sampled_from(["a", "b", "c"]), st.sampled_from(list(OUTCOMES))), st.integers(1, 9)
    ),
    rules=st.dictionaries(st.sampled_from(RULES), st.integers(1, 9)),
)
def test_a_shift_back_leaves_no_row_that_was_not_there(assigned, items, rules):
    with transaction.atomic():
        shift(assigned, items, rules)
        shift(assigned, {key: -value for key, value in items.items()}, {key: -value for key, value in rules.items()})
        assert not Tally.objects.exists()
        assert not assigned.unsafe_tallies.exists()
        transaction.set_rollback(True)


@pytest.fixture
def applied(assigned):
    one = ({"decision": "agree"}, set(), 50.0)
    batch = batch_of(assigned, [(one, ({"decision": "over"}, set(), 40.0)), (one, None)])
    return actions.apply_regrade(batch=batch, reason=REASON, by=None, now=LATER)


def refused(act, sentence=None):
    with pytest.raises(IntegrityError, match=sentence), transaction.atomic():
        act()


def test_the_database_refuses_to_change_or_remove_what_was_regraded(applied):
    kept = "what was stored of an attempt never changes"
    refused(lambda: Regraded.objects.update(trouble="otherwise"), kept)
    refused(lambda: Regraded.objects.all()._raw_delete("default"), kept)
    refused(lambda: RegradeBatch.objects.all()._raw_delete("default"), kept)


def test_a_further_grade_follows_one_of_its_own_attempt_in_a_regrade(applied, assigned):
    former = StoredGrade.objects.filter(supersedes=None).first()
    other = AttemptFactory(edition=assigned.edition)
    stray = "supersedes one of its own attempt"
    refused(lambda: StoredGradeFactory(attempt=other, supersedes=former, regrade=applied), stray)
    refused(lambda: StoredGradeFactory(attempt=former.attempt, supersedes=former, grader=9), stray)
    refused(lambda: StoredGradeFactory(attempt=other, regrade=applied), stray)


def test_an_attempt_has_one_first_grade(applied):
    refused(lambda: StoredGradeFactory(attempt=StoredGrade.objects.filter(supersedes=None).first().attempt, grader=9))


@pytest.mark.parametrize(
    "change",
    [
        {"state": "perhaps"},
        {"state": "ready"},
        {"reason": ""},
        {"turn": None},
        {"state": "undone"},
        {"undo_reason": "none"},
        {"done": 99},
        {"cut": 101},
    ],
    ids=str,
)
def test_a_batch_cannot_be_in_a_state_that_contradicts_what_it_says(applied, change):
    refused(lambda: RegradeBatch.objects.filter(pk=applied.pk).update(**change))
