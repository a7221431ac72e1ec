"""Words are marked by their author after the estimate, before any result; a tutor's marks change nothing."""

import re

import pytest
from django.urls import reverse
from django.utils import timezone

from assess import actions
from assess.log import Stage
from assess.models import Mode
from casebank.models import Role
from tests.assess.pages.reading import OWN_MARKS, PERCENTS, words_of
from tests.assess.pages.school import set_for
from tests.assess.told import REASON
from tests.factories import AttemptFactory, member, seated


@pytest.fixture
def estimated(work, reader, address):
    """Every stage is committed and estimated; the reason waits for its marks."""
    work(Stage.FILL)
    assert reader.post(address("self-grade"), PERCENTS).status_code == 303


def test_compare_leads_to_the_marks_and_no_result_is_shown_before_them(estimated, reader, address, attempt):
    assert reader.get(address("compare")).url == address("mark-own")
    page = words_of(reader.get(address("mark-own")))
    answer = attempt.state().answers["reason"]
    assert answer.text in page
    assert "One difficulty factor or more of this tooth is named" in page
    assert "Agreement by stage" not in page
    assert attempt.edition.document.choices["decision"].because not in page  # the author's own reason
    assert not attempt.grades.exists()
    assert reader.get(address("canal-chart", "MB")).status_code == 409


def test_marks_close_the_case_and_are_shown_with_who_gave_them(estimated, reader, address, attempt):
    assert reader.post(address("mark-own"), OWN_MARKS).url == address("compare")
    assert attempt.state().own_marks["reason"] == ("factor", "proof", "limit")
    page = words_of(reader.get(address("compare")))
    written = page[page.index("In your own words 75 %") :]
    assert "You marked your own words: 3 of 4 points, 75 % of the credit." in written
    assert "Marked by you" in written
    assert re.search(r"What follows for the patient It says who treats, by when, .*? not found", written)
    assert f"Reference {attempt.edition.document.choices['decision'].because}" in written


def test_none_met_is_a_mark_too(estimated, reader, address, attempt):
    assert reader.post(address("mark-own"), {}).status_code == 303
    assert attempt.state().own_marks == {"reason": ()}
    assert attempt.grades.get().result["axes"]["written"] == 0


def test_a_line_that_does_not_exist_is_refused_and_nothing_is_stored(estimated, reader, address, attempt):
    refused = reader.post(address("mark-own"), {"met-reason": ["factor", "elegance"]})
    assert refused.status_code == 400
    assert "Mark the lines that are on the page" in words_of(refused)
    assert attempt.state().to_mark == ("reason",)


def test_marks_without_an_estimate_close_nothing(work, reader, address, attempt):
    work(Stage.FILL)
    assert reader.post(address("mark-own"), OWN_MARKS).status_code == 409
    assert attempt.state().open_stage is Stage.COMPARE
    assert not attempt.grades.exists()
    assert reader.get(address("mark-own")).url == address("compare")
    assert "Your own estimate" in words_of(reader.get(address("compare")))


def test_nobody_closes_a_case_without_words_by_marks_alone(reader, address, attempt):
    for stage in PERCENTS:
        reader.post(address("commit", stage))
    assert reader.post(address("mark-own"), {}).status_code == 409
    assert attempt.state().open_stage is Stage.COMPARE


def test_marks_sent_twice_are_stored_once(estimated, reader, address, attempt):
    reader.post(address("mark-own"), OWN_MARKS)
    count = attempt.events.count()
    assert reader.post(address("mark-own"), {"met-reason": []}).status_code == 303
    assert attempt.events.count() == count
    assert attempt.grades.count() == 1


def test_an_attempt_that_waits_for_its_marks_is_taken_up_again(estimated, reader, address, attempt):
    started = reader.post(reverse("case", args=["leaning-abutment"]))
    assert started.url == address("compare")
    assert attempt.student.attempts.count() == 1


@pytest.fixture
def written(cohort):
    """Graded work of a student, with a reason that its author found half met."""
    assigned = set_for(cohort)
    student = seated(cohort, Role.STUDENT, username="student07")
    attempt = AttemptFactory(student=student, edition=assigned.edition, assigned=assigned)
    doing = {"attempt": attempt, "by": student, "now": timezone.now()}
    for stage in PERCENTS:
        if stage == "weigh":
            actions.record(event="wrote", fields={"stage": "weigh", "task": "reason", "text": REASON}, **doing)
        actions.commit_stage(stage=Stage(stage), **doing)
    actions.self_grade(percents=PERCENTS, **doing)
    actions.mark_own(met={"reason": ("factor", "limit")}, **doing)
    return attempt


def compare(client, attempt):
    return words_of(client.get(reverse("compare", args=[attempt.public_id])))


def marks(client, attempt, *lines, task="reason"):
    return client.post(reverse("mark-words", args=[attempt.public_id]), {"task": task, f"met-{task}": list(lines)})


def test_a_tutor_marks_the_words_and_the_student_sees_both(client, tutor, written):
    client.force_login(tutor)
    assert "It can be read, and its written reason marked." in compare(client, written)
    assert marks(client, written, "factor", "proof", "limit").status_code == 303
    before = written.grades.get().result
    client.force_login(written.student)
    page = compare(client, written)
    assert f"Marked by {tutor.username}" in page
    assert "3 of 4 points, beside 2 by its author." in page
    assert "change no percent" in page
    assert "Store these marks" not in page
    assert before["axes"]["written"] == 50
    assert written.grades.get().result == before


def test_marks_given_anew_stand_and_those_before_are_kept(client, tutor, written):
    client.force_login(tutor)
    for lines in (["factor"], ["factor"], ["factor", "proof"]):
        marks(client, written, *lines)
    assert list(written.words_marked.values_list("turn", "met")) == [(1, ["factor"]), (2, ["factor", "proof"])]
    assert [one.turn for one in written.words_marked.standing()] == [2]
    assert "2 of 4 points" in compare(client, written)


@pytest.mark.parametrize(("task", "lines"), [("reason", ["elegance"]), ("decision", []), ("reason", ["a b"])])
def test_what_cannot_be_marked_is_refused(client, tutor, written, task, lines):
    client.force_login(tutor)
    assert marks(client, written, *lines, task=task).status_code == 400
    assert not written.words_marked.exists()


def test_no_student_director_or_other_instructor_marks_words(client, written):
    for person, status in (
        (written.student, 403),
        (member(Role.STUDENT), 404),
        (member(Role.INSTRUCTOR), 404),
        (member(Role.DIRECTOR), 404),
    ):
        client.force_login(person)
        assert marks(client, written, "factor").status_code == status
    assert not written.words_marked.exists()


def test_practice_is_marked_by_nobody_else(client, tutor, cohort, written):
    assigned = set_for(cohort, mode=Mode.PRACTICE)
    practice = AttemptFactory(student=written.student, edition=assigned.edition, assigned=assigned)
    client.force_login(tutor)
    assert marks(client, practice, "factor").status_code == 404
