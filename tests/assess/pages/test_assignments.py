"""Work is set for a cohort: nothing chosen beforehand, times on the programme's clocks, every error at its field."""

import re
from datetime import UTC, datetime, timedelta

import pytest
from django.urls import reverse
from django.utils import timezone

from assess.models import Assignment, Feedback, Mode
from casebank.models import Role
from tests.assess.pages.reading import words_of
from tests.assess.pages.school import edition_of, set_for
from tests.factories import NOON, AttemptFactory, EditionFactory, StoredGradeFactory, seated

# In 2031 clocks of the zone go forward on Sunday 30 March at 02:00 and back on Sunday 26 October at 03:00: the last
# Sundays of the two months, as EU directive 2000/84/EC has them.
SET = {
    "title": "Spring work",
    "mode": "graded",
    "feedback": "after closing",
    "opens": "2031-01-10T08:00",
    "closes": "2031-07-10T17:30",
    "cases": ["leaning-abutment"],
}


@pytest.fixture
def edition(db):
    return EditionFactory()


@pytest.fixture
def address(cohort, edition):
    return reverse("set-assignment", args=[cohort.pk])


def trouble_at(response, field):
    """What is said at one field, which names it as what describes it."""
    page = response.content.decode()
    assert re.search(rf'aria-describedby="[^"]*\bid_{field}-error\b', page)
    return re.search(rf'id="id_{field}-error">([^<]*)<', page)[1].strip()


def test_nothing_is_chosen_beforehand(directing, address):
    page = directing.get(address).content.decode()
    form = page[page.index('<form class="stack"') :]
    assert "checked" not in form
    assert re.findall(r'name="(?:title|opens|closes)"[^>]*value="([^"]*)"', form) == ["", "", ""]
    assert "On the clocks of Europe/Zurich." in words_of(directing.get(address))


@pytest.mark.parametrize("who", ["directing", "tutoring"])
def test_work_is_set_on_the_clocks_of_the_programme(request, who, address, cohort, edition):
    reader = request.getfixturevalue(who)
    answer = reader.post(address, SET)
    assert answer.url == reverse("cohort", args=[cohort.pk])
    work = Assignment.objects.get()
    assert (work.mode, work.feedback, work.cohort) == (Mode.GRADED, Feedback.AFTER_CLOSING, cohort)
    assert work.opens_at == datetime(2031, 1, 10, 7, 0, tzinfo=UTC)  # winter: an hour ahead
    assert work.closes_at == datetime(2031, 7, 10, 15, 30, tzinfo=UTC)  # summer: two hours
    assert [one.edition for one in work.cases.all()] == [edition]
    assert "“Spring work” is set." in words_of(reader.get(answer.url))


@pytest.mark.parametrize(
    ("field", "value", "sentence"),
    [
        ("title", "  ", "Give it a title that its students will know it by."),
        ("title", "x" * 121, "Say it in at most 120 characters."),
        ("mode", "", "Choose practice or graded."),
        ("mode", "exam", "Pick one of those on the page."),
        ("feedback", "", "Choose when its students read the reference."),
        ("opens", "", "Give a day and a time."),
        ("opens", "soon", "Give a day and a time, such as 2026-03-02 17:00."),
        ("opens", "0001-01-01T00:00", "Give a day and a time, such as 2026-03-02 17:00."),
        ("closes", "2031-01-10T08:00", "It closes before it opens: give a later closing time."),
        ("closes", "2001-01-10T08:00", "This is past: give a closing time that is still to come."),
        ("cases", [], "Choose at least one case."),
        ("cases", ["no-such-case"], "One of these cases cannot be set any more: choose from the list."),
        (
            "opens",
            "2031-03-30T02:30",
            "Clocks go forward on 2031-03-30, and no clock shows 02:30 then: give 03:30, or an earlier time.",
        ),
        (
            "closes",
            "2031-10-26T02:30",
            "Clocks go back on 2031-10-26, and 02:30 comes twice then: give a time at least an hour earlier or later.",
        ),
    ],
)
def test_what_is_wrong_is_said_at_its_field_and_nothing_typed_is_lost(directing, address, field, value, sentence):
    answer = directing.post(address, SET | {field: value})
    assert answer.status_code == 400
    assert trouble_at(answer, field) == sentence
    page = answer.content.decode()
    sent = SET | {field: value}
    for name in ("title", "opens", "closes"):
        assert re.search(rf'name="{name}"[^>]* value="{re.escape(sent[name])}"', page)
    for name in ("mode", "feedback"):
        assert sent[name] in ("", "exam") or re.search(rf'name="{name}" value="{sent[name]}"[^>]* checked', page)
    assert field == "cases" or 'value="leaning-abutment" checked' in page
    assert not Assignment.objects.exists()


def test_the_minutes_beside_a_change_of_clocks_are_taken(directing, address):
    for opens, closes in (("2031-03-30T01:59", "2031-03-30T03:00"), ("2031-10-26T01:59", "2031-10-26T03:00")):
        assert directing.post(address, SET | {"opens": opens, "closes": closes}).status_code == 302
    spans = [work.closes_at - work.opens_at for work in Assignment.objects.order_by("opens_at")]
    assert spans == [timedelta(minutes=1), timedelta(hours=2, minutes=1)]


def test_everything_wrong_is_said_at_once(directing, address):
    answer = directing.post(address, {})
    assert {field for field in SET if trouble_at(answer, field)} == set(SET)


def practised(cohort, edition, count):
    for _ in range(count):
        attempt = AttemptFactory(student=seated(cohort, Role.STUDENT), edition=edition)
        StoredGradeFactory(attempt=attempt)


def test_a_graded_case_that_many_have_practised_is_set_with_a_warning(directing, address, cohort, edition):
    practised(cohort, edition, 6)
    assert "Finished in practice: 6. Many know its reference." in words_of(directing.get(address))
    said = words_of(directing.get(directing.post(address, SET).url))
    assert "finished a case of it in practice before, and read its reference: leaning-abutment (6)." in said
    assert Assignment.objects.count() == 1


def test_a_few_who_have_practised_are_not_counted_out(directing, address, cohort, edition):
    none = words_of(directing.get(address))
    practised(cohort, edition, 4)
    assert words_of(directing.get(address)) == none
    assert "Finished in practice: fewer than 5." in none
    assert "in practice before" not in words_of(directing.get(directing.post(address, SET).url))


def test_only_this_cohorts_practice_counts_and_each_student_once(directing, address, cohort, edition):
    practised(cohort, edition, 4)
    again = cohort.seats.first().membership.user
    StoredGradeFactory(attempt=AttemptFactory(student=again, edition=edition, started_at=NOON + timedelta(days=1)))
    StoredGradeFactory(attempt=AttemptFactory(edition=edition))  # somebody without a seat
    graded = set_for(cohort, edition=edition)
    fifth = seated(cohort, Role.STUDENT)
    StoredGradeFactory(attempt=AttemptFactory(student=fifth, edition=edition, assigned=graded))
    assert "Finished in practice: fewer than 5." in words_of(directing.get(address))
    StoredGradeFactory(attempt=AttemptFactory(student=fifth, edition=edition))
    assert "Finished in practice: 5." in words_of(directing.get(address))


def test_a_retired_case_cannot_be_set(directing, address, edition):
    other = edition_of("other", "Another tooth")
    other.case.retired_at = timezone.now()
    other.case.save()
    assert "Another tooth" not in words_of(directing.get(address))
    assert trouble_at(directing.post(address, SET | {"cases": ["other"]}), "cases").startswith("One of these cases")


# ---------------------------------------------------------------- withdrawn


def test_work_that_nobody_has_begun_can_be_withdrawn(tutoring, cohort):
    work = set_for(cohort).assignment
    answer = tutoring.post(reverse("withdraw-assignment", args=[work.public_id]))
    assert not Assignment.objects.exists()
    assert "“Spring work” is withdrawn." in words_of(tutoring.get(answer.url))


def test_work_that_somebody_has_begun_stays(directing, cohort):
    assigned = set_for(cohort)
    AttemptFactory(student=seated(cohort, Role.STUDENT), assigned=assigned, edition=assigned.edition)
    refused = directing.post(reverse("withdraw-assignment", args=[assigned.assignment.public_id]))
    assert refused.status_code == 409
    assert "Somebody has begun this" in words_of(refused)
    assert Assignment.objects.count() == 1
