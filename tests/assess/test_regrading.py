"""A changed key: what it would move is shown first, then it stands; undone, all is as it was to the last bit."""

import pytest
from django.core.exceptions import PermissionDenied
from django.db import transaction
from django.db.models import Q
from django.utils import timezone

from assess import actions
from assess.actions import Refused
from assess.grading import GRADER_VERSION
from assess.grading.fits import tasks_of
from assess.models import Attempt, Mode, RegradeState, StoredGrade, Tally, UnsafeTally
from assess.presenting.regraded import graded_again
from assess.presenting.regrades import preview
from casebank.models import Role
from tests.assess.regrading import LATER, REASON, changed, key_turned, regraded, worked
from tests.factories import NOON, AssignedCaseFactory, AssignmentFactory, CohortFactory, member, seated


@pytest.fixture
def assigned(db):
    return AssignedCaseFactory()


@pytest.fixture
def attempts(assigned):
    """One student who answers the axis as the first edition keys it, and two who do not."""
    return [
        worked(assigned, "sound", username="ada"),
        *(worked(assigned, "weak", username=name) for name in ("bo", "cy")),
    ]


@pytest.fixture
def programme(assigned):
    return assigned.assignment.cohort.programme


@pytest.fixture
def director(programme):
    return member(Role.DIRECTOR)


def figures():
    """All that is read of grades: what stands, and what is counted; primary keys are nobody's figure."""
    standing = StoredGrade.objects.standing().order_by("attempt").values_list("attempt", "pk", "percent", "result")
    tallies = Tally.objects.order_by("assigned", "item").values_list(
        "assigned", "item", "agree", "over", "under", "other", "silent"
    )
    return (
        list(standing),
        list(tallies),
        list(UnsafeTally.objects.order_by("assigned", "rule").values_list("assigned", "rule", "attempts")),
    )


def percents():
    standing = StoredGrade.objects.standing().select_related("attempt__student")
    return {grade.attempt.student.username: grade.percent for grade in standing}


def weight_of(task, edition):
    return next(one.weight for one in tasks_of(edition.document) if one.id == task)


def apply(batch, by=None):
    return actions.apply_regrade(batch=batch, reason=REASON, by=by, now=LATER)


def undo(batch, by=None):
    return actions.undo_regrade(batch=batch, reason="It was right after all", by=by, now=LATER)


def test_who_answered_as_the_new_key_gains_its_weight_and_who_answered_as_the_old_one_loses_it(
    assigned, attempts, programme
):
    edition, before = key_turned(), percents()
    weight = weight_of("axis", edition)
    apply(regraded(edition, programme))
    # A line for the drill is right or wrong: whoever was right before loses its weight, whoever was not gains it.
    expected = {"ada": before["ada"] - weight, "bo": before["bo"] + weight, "cy": before["cy"] + weight}
    assert percents() == pytest.approx(expected)
    tally = assigned.tallies.get(item="axis")
    assert (tally.agree, tally.agree + tally.over + tally.under + tally.other) == (2, 3)
    assert actions.recount(assigned)


def test_nothing_counts_before_it_is_applied(attempts, programme, assigned):
    before = figures()
    batch = regraded(key_turned(), programme)
    assert batch.state == RegradeState.READY
    assert figures() == before
    assert actions.recount(assigned)
    actions.cancel_regrade(batch=batch, by=None)
    assert figures() == before


def test_undone_everything_is_as_it_was_to_the_bit(assigned, attempts, programme):
    before = figures()
    batch = apply(regraded(key_turned(), programme))
    assert figures() != before
    undo(batch)
    assert figures() == before
    assert actions.recount(assigned)


def test_what_was_stored_before_stays_as_it_was_and_the_new_grade_is_linked_to_it(attempts, programme):
    before = list(StoredGrade.objects.order_by("pk").values())
    batch = apply(regraded(key_turned(), programme))
    assert list(StoredGrade.objects.filter(supersedes=None).order_by("pk").values()) == before
    for grade in StoredGrade.objects.filter(regrade=batch):
        assert grade.supersedes.attempt == grade.attempt
        assert (grade.edition_sha256, grade.grader) == (batch.edition.sha256, GRADER_VERSION)
        assert grade.events == grade.supersedes.events


def test_the_preview_is_what_is_applied(attempts, programme, assigned):
    tutor = seated(assigned.assignment.cohort, Role.INSTRUCTOR)
    edition, before = key_turned(), percents()
    line = (before["ada"] + before["ada"] - weight_of("axis", edition)) / 2
    batch = regraded(edition, programme, cut=line)
    readable = Attempt.objects.filter(assigned__assignment__cohort__seats__membership__user=tutor)
    found = preview(batch, readable, timezone.now())
    apply(batch)
    after = percents()
    assert {one.student: (one.before, one.after) for one in found.movers} == {
        name: (before[name], after[name]) for name in before
    }
    assert (found.whole.n, found.whole.up, found.whole.down, found.whole.unchanged) == (3, 2, 1, 0)
    assert found.whole.fallen == 1
    assert found.whole.risen == sum(before[name] < line <= after[name] for name in before)
    assert [(task.up, task.down) for task in found.tasks] == [(2, 1)]
    assert found.changed == ("the keyed choices",)


def test_a_regrade_under_the_same_key_again_finds_nothing_to_do(attempts, programme):
    edition = key_turned()
    apply(regraded(edition, programme))
    with pytest.raises(Refused, match="Nothing to grade again"):
        regraded(edition, programme)


def test_undone_and_done_again_stores_no_grade_twice(attempts, programme):
    edition = key_turned()
    undo(apply(regraded(edition, programme)))
    once = StoredGrade.objects.count()
    second = apply(regraded(edition, programme))
    assert StoredGrade.objects.count() == once == 2 * len(attempts)
    assert {one.grade.regrade_id for one in second.regraded.all()} != {second.pk}
    assert percents()["bo"] > percents()["ada"] - 100


def test_of_two_applied_the_later_stands_and_has_to_be_undone_first(attempts, programme, assigned):
    before = figures()
    first = apply(regraded(key_turned(), programme))
    between = figures()
    second = apply(regraded(key_turned("consent", number=3), programme))
    with pytest.raises(Refused, match="undo the later one first"):
        undo(first)
    undo(second)
    assert figures() == between
    undo(first)
    assert figures() == before


def test_a_grade_by_an_earlier_grader_is_graded_again_under_the_same_edition(
    attempts, programme, monkeypatch, assigned
):
    before = percents()
    for module in ("assess.grading.grade", "assess.actions.regrading", "assess.actions.regrade_work"):
        monkeypatch.setitem(__import__("sys").modules[module].__dict__, "GRADER_VERSION", GRADER_VERSION + 1)
    apply(regraded(assigned.edition, programme))
    assert percents() == before
    assert set(StoredGrade.objects.standing().values_list("grader", flat=True)) == {GRADER_VERSION + 1}


@pytest.mark.parametrize(
    ("change", "sentence"),
    [
        (lambda case: case["preparation"].pop("D") and drop_canal(case, "D"), "no longer asked"),
        (lambda case: case.update(films=[{"horizontal_deg": 20}]), "The films that are given at the start are others"),
        (lambda case: another_finding(case, "c"), "Finding c, which its student read, is no longer what it was"),
    ],
    ids=["a canal fewer", "another film", "another finding"],
)
def test_what_cannot_be_graded_says_why_and_keeps_its_grade(attempts, programme, change, sentence):
    before = percents()
    batch = apply(regraded(changed(change), programme))
    troubles = [one.trouble for one in batch.regraded.all() if one.grade is None]
    assert troubles
    assert all(sentence in trouble for trouble in troubles)
    left = {one.attempt.student.username for one in batch.regraded.all() if one.grade is None}
    assert {name: percents()[name] for name in left} == {name: before[name] for name in left}


def drop_canal(case, name):
    tooth = case["anatomy"]["tooth"]
    tooth["canals"] = [canal for canal in tooth["canals"] if canal["name"] != name]


def another_finding(case, letter):
    next(finding for finding in case["chart"] if finding["letter"] == letter)["item"] = "Something else"


def test_a_preview_no_longer_holds_once_somebody_else_has_finished(attempts, programme, assigned):
    batch = regraded(key_turned(), programme)
    worked(assigned, "sound")
    before = figures()
    with pytest.raises(Refused, match="Further attempts were finished"):
        apply(batch)
    assert figures() == before
    anew = actions.work_out(actions.redraft_regrade(batch=batch, by=None, now=LATER), clock=lambda: LATER)
    assert apply(anew).regraded.count() == len(attempts) + 1


def test_a_preview_no_longer_holds_once_a_further_edition_is_published(attempts, programme):
    batch = regraded(key_turned(), programme)
    key_turned("consent", number=3)
    with pytest.raises(Refused, match="A further edition was published"):
        apply(batch)


def test_a_second_regrade_cannot_be_opened_beside_the_first(attempts, programme):
    edition = key_turned()
    actions.draft_regrade(edition=edition, programme=programme, by=None, now=LATER)
    with pytest.raises(Refused, match="open already"), transaction.atomic():
        actions.draft_regrade(edition=edition, programme=programme, by=None, now=LATER)


@pytest.mark.parametrize("reason", ["", "  \n ", "x" * 501])
def test_a_reason_has_to_be_given_and_to_fit(attempts, programme, reason):
    batch, before = regraded(key_turned(), programme), figures()
    with pytest.raises(Refused, match="reason"):
        actions.apply_regrade(batch=batch, reason=reason, by=None, now=LATER)
    assert figures() == before


def test_an_attempt_of_another_programme_is_left_alone(attempts, programme, assigned):
    elsewhere = CohortFactory(programme__slug="another-school", slug="landing-9")
    there = AssignedCaseFactory(assignment=AssignmentFactory(cohort=elsewhere), edition=assigned.edition)
    other = worked(there, "weak", username="dee")
    before = percents()["dee"]
    batch = apply(regraded(key_turned(), programme))
    assert percents()["dee"] == before
    assert not batch.regraded.filter(attempt=other).exists()


def test_what_a_student_reads_of_it(attempts, programme):
    before = percents()["bo"]
    attempt = next(one for one in attempts if one.student.username == "bo")
    assert graded_again(attempt.grades.standing().get()) == ""
    batch = apply(regraded(key_turned(), programme))
    assert graded_again(attempt.grades.standing().get()) == (
        f"Graded again on 2026-03-02 under edition 2 because: {REASON}. Before: {before:.0f} %."
    )
    undo(batch)
    assert graded_again(attempt.grades.standing().get()) == ""


def test_a_small_group_and_practice_that_is_open_are_not_shown(programme, assigned):
    practice = AssignedCaseFactory(
        assignment=AssignmentFactory(cohort=assigned.assignment.cohort, mode=Mode.PRACTICE), edition=assigned.edition
    )
    for _ in range(4):
        worked(assigned, "weak")
    for _ in range(5):
        worked(practice, "weak")
    batch = regraded(key_turned(), programme)
    nobody = Attempt.objects.none()
    found = preview(batch, nobody, NOON)
    assert (found.groups, found.left_out, found.movers, found.tasks) == ([], 2, [], [])
    found = preview(batch, nobody, practice.assignment.closes_at)
    assert ([sums.n for sums in found.groups], found.left_out, found.whole.up) == ([5], 1, 5)
    assert found.movers == []


def test_who_may_draft_apply_and_undo(attempts, programme, director):
    edition = key_turned()
    for person in (member(Role.INSTRUCTOR), member(Role.STUDENT), attempts[0].student):
        with pytest.raises(PermissionDenied):
            actions.draft_regrade(edition=edition, programme=programme, by=person, now=LATER)
    batch = regraded(edition, programme)
    stranger = member(Role.INSTRUCTOR)
    for act in (apply, undo):
        with pytest.raises(PermissionDenied):
            act(batch, by=stranger)
    assert undo(apply(batch, by=director), by=director).undone_by == director


def test_of_every_attempt_exactly_one_grade_stands_whatever_was_applied_and_undone(attempts, programme):
    undo(apply(regraded(key_turned(), programme)))
    apply(regraded(key_turned("consent", number=3), programme))
    standing = StoredGrade.objects.standing().filter(Q(attempt__in=attempts))
    assert sorted(standing.values_list("attempt", flat=True)) == sorted(one.pk for one in attempts)
