"""Who may do what where: every address, role and method against one table. A new address fails without its rows."""

from dataclasses import dataclass
from datetime import timedelta
from functools import partial

import pytest
from django.db import transaction
from django.test import Client
from django.urls import reverse
from django.utils import timezone

from assess import actions
from assess.grading.grade import GRADED_STAGES, GRADER_VERSION
from assess.log import Stage
from assess.models import Assignment, Attempt, Event, Feedback, Mode, RegradeBatch, StoredGrade, WordsMarked
from casebank.models import Case, Cohort, Draft, Edition, Licence, Membership, Role, Seat, User
from tests.addresses import addresses
from tests.factories import (
    NOON,
    AssignedCaseFactory,
    AssignmentFactory,
    AttemptFactory,
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
from tests.role_table import ROLES, TABLE

STATUS = {
    "page": {200},
    "home": {302},
    "door": {302},
    "sent": {302, 303},
    "none": {404},
    "barred": {403},
    "method": {405},
    "later": {409},
    "wrong": {400},
}
OTHER_METHODS = ("PUT", "DELETE", "OPTIONS")
PERCENTS = dict.fromkeys(GRADED_STAGES, 50)
BODIES = {  # what a page of that address would send
    "sign-in": {"username": "nobody", "password": "not a password"},
    "ask": {"finding": "c"},
    "film": {"tube": "mesial-20", "reason": "to part the canals"},
    "ask-volume": {"reason": "decay", "hoped": "a hollow"},
    "answer": {"task": "canal-count", "value": "2"},
    "level": {"task": "overall", "level": "2"},
    "move": {"kind": "read_length", "canal": "MB", "size": "10", "stage": "shape"},
    "self-grade": {stage: str(percent) for stage, percent in PERCENTS.items()},
    "mark-own": {"met-reason": ["factor"]},
    "mark-words": {"task": "reason", "met-reason": ["factor"]},
    "cohorts": {"programme": "invented-school-3", "name": "Landing, year 5", "slug": "landing-5"},
    "licence": {"low-4": "treat", "moderate-4": "supervised", "high-4": "refer"},
    "place-cohorts": {"landing-4": "4"},
    "regrades": {"edition": "1", "programme": "invented-school-3"},
    "regrade-apply": {"reason": "The key was wrong"},
    "regrade-undo": {"reason": "It was right after all"},
    "set-assignment": {
        "title": "Summer work",
        "mode": "graded",
        "feedback": "at once",
        "opens": "2031-06-01T08:00",
        "closes": "2031-06-30T18:00",
        "cases": "leaning-abutment",
    },
}


@dataclass(frozen=True)
class Row:
    """What is expected of one address with one object, by method and role."""

    address: str
    thing: str
    expected: dict[str, dict[str, str]]

    def outcome(self, method, role):
        if method in OTHER_METHODS:
            sent = self.expected["POST"][role]
            return sent if sent in ("door", "home") else "method"
        return self.expected["GET" if method == "HEAD" else method][role]


def rows(table):
    """The table's lines, those of one address and one object together."""
    head, *lines = [line.split() for line in table.strip().splitlines()]
    assert head == ["address", "object", "method", *ROLES]
    found = {}
    for address, thing, method, *outcomes in lines:
        row = found.setdefault((address, thing), Row(address, thing, {}))
        assert method not in row.expected, f"{address} {thing} {method} stands twice"
        row.expected[method] = dict(zip(ROLES, outcomes, strict=True))
    assert all(set(row.expected) == {"GET", "POST"} for row in found.values())
    return list(found.values())


ROWS = rows(TABLE)
FIRST_ROWS = list({row.address: row for row in reversed(ROWS)}.values())[::-1]  # what an address does not take, once


@pytest.fixture
def cohort(db):
    return CohortFactory()


@pytest.fixture
def people(cohort):
    return {
        "outsider": UserFactory(),
        "fellow": member(Role.STUDENT),
        "owner": seated(cohort, Role.STUDENT),
        "instructor": member(Role.INSTRUCTOR),
        "tutor": seated(cohort, Role.INSTRUCTOR),
        "director": member(Role.DIRECTOR),
    }


@pytest.fixture
def clients(people):
    """A browser for each role."""
    browsers = {"anonymous": Client(raise_request_exception=False)}
    for role, user in people.items():
        browsers[role] = Client(raise_request_exception=False)
        browsers[role].force_login(user)
    return browsers


@pytest.fixture
def address_of(people, cohort, monkeypatch):
    """Addresses with the parameters of an object that stands as the table says."""
    monkeypatch.setattr("assess.views.pictures.film_png", lambda *_: b"a picture")
    case = EditionFactory().case

    def address_of(row, parameters):
        given = {
            "slug": case.slug,
            "stage": "look",
            "number": 1,
            "canal": "MB",
            "plane": "axial",
            "pk": cohort.pk,
            "mode": "graded",
        }
        if row.thing == "retired":
            Case.objects.filter(pk=case.pk).update(retired_at=NOON)
        if row.thing == "unknown":
            given["slug"] = CaseFactory(slug="never-published").slug + "-nor-known"
        if row.thing == "programme":
            given["slug"] = cohort.programme.slug
        if row.thing == "seat":
            given["pk"] = people["owner"].memberships.get().pk
        if "public_id" in parameters:
            given["public_id"] = MADE[row.thing](people["owner"], cohort).public_id
        return reverse(row.address, kwargs={name: given[name] for name in parameters})

    return address_of


def settled(attempt):
    for stage in GRADED_STAGES:
        actions.commit_stage(attempt=attempt, stage=Stage(stage), by=attempt.student, now=timezone.now())
    actions.self_grade(attempt=attempt, percents=PERCENTS, by=attempt.student, now=timezone.now())
    return attempt


def set_now(cohort, opens=-1, **fields):
    """A case that is set, and open for the day before and after this moment unless it is still to open."""
    now = timezone.now()
    window = {"opens_at": now + timedelta(days=opens), "closes_at": now + timedelta(days=opens + 2)}
    return AssignedCaseFactory(assignment=AssignmentFactory(cohort=cohort, **window, **fields))


def marking(owner, cohort):
    """Graded work that waits for its student's marks of the reason they wrote."""
    assigned = set_now(cohort)
    attempt = AttemptFactory(student=owner, edition=assigned.edition, assigned=assigned)
    doing = {"attempt": attempt, "by": owner, "now": timezone.now()}
    for stage in GRADED_STAGES:
        if stage == "weigh":
            fields = {"stage": "weigh", "task": "reason", "text": "It is too hard for me."}
            actions.record(event="wrote", fields=fields, **doing)
        actions.commit_stage(stage=Stage(stage), **doing)
    actions.self_grade(percents=PERCENTS, **doing)
    return attempt


def reasoned(owner, cohort):
    attempt = marking(owner, cohort)
    actions.mark_own(attempt=attempt, met={"reason": ["factor"]}, by=owner, now=timezone.now())
    return attempt


def graded(owner, cohort, **fields):
    assigned = set_now(cohort, **fields)
    return settled(AttemptFactory(student=owner, edition=assigned.edition, assigned=assigned))


def regrade_of_nothing(cohort, **fields):
    """A regrade of the case that moves nobody."""
    edition = EditionFactory()
    made = {"case": edition.case, "programme": cohort.programme, "edition": edition, "newest": edition.number}
    return RegradeBatch.objects.create(**made, grader=GRADER_VERSION, whole=0, drafted_at=NOON, **fields)


MADE = {  # an object of each kind with a public address, by who owns it and their cohort
    "begun": lambda owner, cohort: AttemptFactory(student=owner),
    "settled": lambda owner, cohort: settled(AttemptFactory(student=owner)),
    "graded": graded,
    "marking": marking,
    "reasoned": reasoned,
    "kept": partial(graded, feedback=Feedback.AFTER_CLOSING),
    "draft": lambda owner, cohort: DraftFactory(),
    "ready": lambda owner, cohort: regrade_of_nothing(cohort, state="ready"),
    "applied": lambda owner, cohort: regrade_of_nothing(
        cohort, state="applied", turn=1, reason="The key was wrong", applied_at=NOON
    ),
    "set": lambda owner, cohort: set_now(cohort).assignment,
    "coming": lambda owner, cohort: set_now(cohort, opens=1).assignment,
    "practice": lambda owner, cohort: set_now(cohort, mode=Mode.PRACTICE).assignment,
}

KEPT = (Attempt, Event, StoredGrade, RegradeBatch, WordsMarked, Draft, Edition, Assignment, Cohort, Licence, Seat, User)


def stored():
    retired = Case.objects.filter(retired_at__isnull=False).count()
    return retired, *(kept.objects.count() for kept in KEPT)


def ask_and_take_back(client, method, address, body):
    """A response and whether anything was stored; it is taken back, so that the next role finds what this one found."""
    with transaction.atomic():
        before = stored()
        response = client.post(address, body) if method == "POST" else client.generic(method, address)
        changed = stored() != before
        transaction.set_rollback(True)
    return response, changed


def is_as_expected(response, outcome):
    to = response.headers.get("Location", "")
    leads = {
        "home": to == reverse("home"),
        "door": to.startswith(reverse("sign-in") + "?next="),
        "sent": bool(to) and not to.startswith(reverse("sign-in")),
        "method": bool(response.headers.get("Allow")),
    }
    return response.status_code in STATUS[outcome] and leads.get(outcome, not to)


def test_the_table_and_the_addresses_name_each_other():
    assert {row.address for row in ROWS} == set(addresses())


@pytest.mark.parametrize("row", ROWS, ids=lambda row: f"{row.address}-{row.thing}")
def test_each_role_gets_what_the_table_says_and_nothing_is_stored_but_what_was_sent(row, clients, address_of):
    address = address_of(row, addresses()[row.address])
    differing = []
    for method in ("GET", "HEAD", "POST", *OTHER_METHODS) if row in FIRST_ROWS else ("GET", "POST"):
        for role, client in clients.items():
            expected = row.outcome(method, role)
            response, changed = ask_and_take_back(client, method, address, BODIES.get(row.address, {}))
            if not is_as_expected(response, expected):
                differing.append(f"{method} as {role}: {response.status_code}, not {expected}")
            if changed and expected != "sent":
                differing.append(f"{method} as {role}: something was stored")
    assert not differing


def test_the_matrix_would_notice_an_address_that_lets_somebody_in(clients, address_of):
    row = next(row for row in ROWS if (row.address, row.thing) == ("look", "begun"))
    response = clients["owner"].get(address_of(row, addresses()["look"]))
    assert is_as_expected(response, "page")
    assert not any(is_as_expected(response, outcome) for outcome in STATUS if outcome != "page")


SCHOOLS_OWN = ("cohort", "seat", "programme", "set", "coming", "practice", "ready", "applied")
OF_A_SCHOOL = [row for row in ROWS if row.thing in SCHOOLS_OWN]


@pytest.mark.parametrize("row", OF_A_SCHOOL, ids=lambda row: f"{row.address}-{row.thing}")
def test_the_director_of_another_programme_finds_nothing_of_this_one(row, address_of):
    elsewhere = MembershipFactory(programme=ProgrammeFactory(slug="another-school"), role=Role.DIRECTOR).user
    client, address = Client(raise_request_exception=False), address_of(row, addresses()[row.address])
    client.force_login(elsewhere)
    for method in ("GET", "POST"):
        response, changed = ask_and_take_back(client, method, address, BODIES.get(row.address, {}))
        wanted = "method" if row.outcome(method, "director") == "method" else "none"
        assert is_as_expected(response, wanted)
        assert not changed


@pytest.mark.parametrize("row", [row for row in ROWS if row.thing == "begun"], ids=lambda row: row.address)
def test_who_has_left_the_programme_reads_their_attempt_and_adds_nothing(row, people, clients, address_of):
    address = address_of(row, addresses()[row.address])
    Membership.objects.filter(user=people["owner"]).delete()
    reads, _ = ask_and_take_back(clients["owner"], "GET", address, {})
    assert is_as_expected(reads, row.outcome("GET", "owner"))
    response, changed = ask_and_take_back(clients["owner"], "POST", address, BODIES.get(row.address, {}))
    assert not changed
    assert response.status_code in {403, 405, 409}
