"""What is wrong is answered in plain words with the right status; nothing is lost by it and nothing of it is stored."""

import html
import re
from uuid import uuid4

import pytest
from django.conf import settings
from django.test import Client
from django.urls import reverse

from assess import actions
from assess.forms import MOVE_FORMS
from assess.grading.grade import GRADED_STAGES
from assess.log import Stage
from assess.models import Event, StoredGrade
from casebank.models import Role
from tests.factories import NOON, PASSWORD, AttemptFactory, UserFactory, member

URLENCODED = "application/x-www-form-urlencoded"
TECHNICAL = re.compile(
    r"Traceback|Exception|Error\b|django|pydantic|casebank\.|assess\.|/site-packages/|<class|\{'", re.I
)
PERCENTS = dict.fromkeys(GRADED_STAGES, 50)
GARBAGE = ("", "NaN", "-1", "1e400", "9" * 400, "\0", "<b>", "\N{TOOTH}", "\N{ARABIC-INDIC DIGIT THREE}")
READING = {"value": "12", "of": "MB", "film": "1", "points_px": "1,2;3,4;5,6", "confidence": "sure", "key": "one"}
STROKES = {"size": "10", "to_mm": "15", "strokes": "3", "push": "light", "precurve_per_mm": "0"}
ACTS = {
    "ask": {"finding": "c"},
    "film": {"tube": "mesial-20", "reason": "to part the canals"},
    "answer": {"task": "curvature", **READING},
    "level": {"task": "difficulty-levels.health", "level": "1", "evidence": "a"},
    "move": {"kind": "hand_file", "canal": "MB", **STROKES},
    "self-grade": dict.fromkeys(GRADED_STAGES, "50"),
}
STAGE_OF = {"level": Stage.WEIGH, "move": Stage.SHAPE, "self-grade": Stage.COMPARE}  # all others: Look
MARK = {"task": "apex-mark", "film": "1", "x1": "10", "y1": "10"}
CHOICE = {"task": "proof", "values": "a"}


@pytest.fixture
def student(db):
    return member(Role.STUDENT)


@pytest.fixture
def attempt(student):
    return AttemptFactory(student=student)


@pytest.fixture
def client(student):
    browser = Client(raise_request_exception=False)
    browser.force_login(student)
    return browser


@pytest.fixture
def to(attempt):
    """Addresses of the attempt."""
    return lambda name, *args: reverse(name, args=[attempt.public_id, *args])


@pytest.fixture
def committed(attempt, student):
    """Commits every stage before the one named."""

    def committed(until):
        for stage in Stage:
            if stage is until:
                return
            actions.commit_stage(attempt=attempt, stage=stage, by=student, now=NOON)

    return committed


def assert_in_words(response, status):
    """A page of the site with that status: it says what happened and what to do, and nothing of how it is made."""
    assert response.status_code == status, response.content.decode()[:2000]
    assert response.headers["Content-Type"].startswith("text/html")
    page = html.unescape(response.content.decode())
    said = re.sub(r"<[^>]+>", " ", page.partition("<main")[2].partition("</main>")[0])
    assert len(said.split()) > 12
    assert not TECHNICAL.search(said), said


# ---------------------------------------------------------------- stages


@pytest.mark.parametrize("stage", list(Stage)[1:])
def test_a_stage_typed_by_hand_says_when_it_opens(client, to, stage):
    response = client.get(to(stage.value))
    assert_in_words(response, 409)
    assert f"{stage.label} opens when Look is committed." in response.content.decode()
    assert to("look") in response.content.decode()


@pytest.mark.parametrize("stage", list(Stage)[:5])
def test_a_committed_stage_is_shown_without_anything_to_send(client, to, committed, stage):
    committed(Stage.COMPARE)
    response = client.get(to(stage.value))
    assert response.status_code == 200
    assert re.findall(r'<form[^>]*action="([^"]*)"', response.content.decode()) == [reverse("sign-out")]


def test_committing_a_stage_out_of_turn_is_refused(client, to, attempt):
    assert_in_words(client.get(to("commit", "fill")), 409)
    assert_in_words(client.post(to("commit", "fill")), 409)
    assert not attempt.events.exists()


@pytest.mark.parametrize("stage", ["compare", "nothing", "Look"])
def test_what_is_no_stage_to_commit_is_not_there(client, to, attempt, stage):
    for response in (client.get(to("commit", stage)), client.post(to("commit", stage))):
        assert_in_words(response, 404)
    assert not attempt.events.exists()


# ---------------------------------------------------------------- double and late


@pytest.mark.parametrize("name", ["ask", "film", "answer"])
def test_a_form_sent_twice_is_stored_once(client, to, attempt, name):
    body = {**ACTS[name], "key": "one-page"}
    first, second = client.post(to(name), body), client.post(to(name), body)
    assert (first.status_code, second.status_code) == (303, 303)
    assert attempt.events.count() == 1


def test_the_key_of_an_earlier_form_stores_nothing_else(client, to, attempt):
    client.post(to("answer"), {**CHOICE, "key": "one"})
    assert_in_words(client.post(to("answer"), {"task": "canal-count", "value": "2", "key": "one"}), 400)
    assert attempt.events.count() == 1


def test_committing_twice_stores_one_commit_and_loses_nothing(client, to, attempt):
    client.post(to("answer"), CHOICE)
    first, second = client.post(to("commit", "look")), client.post(to("commit", "look"))
    assert first.headers["Location"] == second.headers["Location"] == to("weigh")
    assert [event.kind for event in attempt.events.order_by("seq")] == ["chose", "committed"]


def test_grading_oneself_twice_keeps_the_first_estimate(client, to, attempt, committed):
    committed(Stage.COMPARE)
    client.post(to("self-grade"), ACTS["self-grade"])
    second = client.post(to("self-grade"), dict.fromkeys(GRADED_STAGES, "99"))
    assert second.headers["Location"] == to("compare")
    assert set(attempt.state().self_grade.values()) == {50}
    assert StoredGrade.objects.count() == 1


@pytest.mark.parametrize("name", list(ACTS))
@pytest.mark.parametrize("accept", ["text/html", "application/json"])
def test_an_act_of_a_stage_that_is_not_open_is_refused_in_words(client, to, attempt, committed, name, accept):
    if name not in STAGE_OF:
        committed(Stage.WEIGH)
    before = attempt.events.count()
    assert_in_words(client.post(to(name), ACTS[name], headers={"accept": accept}), 409)
    assert attempt.events.count() == before


def test_nothing_can_be_added_to_a_settled_case(client, to, attempt, student, committed):
    committed(Stage.COMPARE)
    actions.self_grade(attempt=attempt, percents=PERCENTS, by=student, now=NOON)
    before = attempt.events.count()
    for name in set(ACTS) - {"self-grade"}:
        assert_in_words(client.post(to(name), ACTS[name]), 409)
    assert attempt.events.count() == before


# ---------------------------------------------------------------- addresses


def test_an_attempt_that_is_not_mine_and_one_that_does_not_exist_are_told_alike(client, db):
    foreign = AttemptFactory(student=member(Role.STUDENT))
    pages = []
    for public_id in (foreign.public_id, uuid4()):
        response = client.get(reverse("look", args=[public_id]))
        assert_in_words(response, 404)
        pages.append(re.sub(r"[A-Za-z0-9]{64}", "", response.content.decode()))
    assert pages[0] == pages[1]
    assert_in_words(client.post(reverse("ask", args=[foreign.public_id]), ACTS["ask"]), 404)
    assert not foreign.events.exists()


@pytest.mark.parametrize(
    "address",
    [
        "/nothing/",
        "/attempts/7/look/",
        "/attempts/none/look/",
        "/cases/no-such-case/",
        "/cases/%00/",
        "/cases/%ff/",
        "/%0a",
    ],
)
def test_an_address_that_leads_nowhere_is_answered_in_words(client, address):
    assert_in_words(client.get(address), 404)


@pytest.mark.parametrize("number", ["0", "2", "99", "9" * 400, "-1", "1.0"])
def test_a_film_that_was_never_taken_is_not_there(client, to, number):
    assert_in_words(client.get(to("film-picture", 1).replace("1.png", f"{number}.png")), 404)


def test_a_chart_of_no_canal_is_not_there(client, to, attempt, student, committed):
    committed(Stage.COMPARE)
    actions.self_grade(attempt=attempt, percents=PERCENTS, by=student, now=NOON)
    assert_in_words(client.get(to("canal-chart", "XX")), 404)


@pytest.mark.parametrize("query", ["film=99", "film=%00", "canal=%3Cb%3E", "tool=nothing", "canal=&tool=&film="])
def test_a_query_of_nonsense_shows_the_page_as_it_is(client, to, committed, query):
    committed(Stage.SHAPE)
    for page in ("look", "weigh", "open", "shape"):
        response = client.get(f"{to(page)}?{query}")
        assert response.status_code == 200
        assert "<b>%" not in response.content.decode()


# ---------------------------------------------------------------- methods


@pytest.mark.parametrize(
    ("name", "allowed"), [("look", "GET"), ("ask", "POST"), ("home", "GET"), ("film-picture", "GET")]
)
def test_a_wrong_method_is_answered_in_words_with_those_that_work(client, to, name, allowed):
    address = reverse("home") if name == "home" else to(name, *([1] if name == "film-picture" else []))
    for method in ("GET", "POST", "PUT", "PATCH", "DELETE", "OPTIONS", "NONSENSE"):
        if method != allowed:
            response = client.generic(method, address)
            assert_in_words(response, 405)
            assert response.headers["Allow"] == allowed


def test_head_is_get_without_a_body(client, to):
    response = client.head(to("look"))
    assert (response.status_code, response.content) == (200, b"")
    assert client.head(to("ask")).status_code == 405
    assert client.head(to("weigh")).status_code == 409


# ---------------------------------------------------------------- bodies


@pytest.mark.parametrize("name", [*ACTS, "commit", "sign-in", "sign-out", "case"])
def test_a_body_larger_than_the_site_takes_is_refused_in_words(client, to, attempt, name):
    addresses = {"sign-in": reverse("sign-in"), "sign-out": reverse("sign-out"), "commit": to("commit", "look")}
    addresses["case"] = reverse("case", args=[attempt.edition.case.slug])
    browser = Client(enforce_csrf_checks=True, raise_request_exception=False)
    browser.cookies = client.cookies
    browser.get(to("look"))  # its form brings the secret's cookie, without which nothing is read at all
    body = "reason=" + "a" * settings.DATA_UPLOAD_MAX_MEMORY_SIZE
    assert_in_words(browser.post(addresses.get(name) or to(name), body, content_type=URLENCODED), 413)
    assert not attempt.events.exists()
    assert client.get(reverse("home")).status_code == 200


def test_more_fields_than_the_site_takes_are_refused_in_words(client, to, attempt):
    body = "&".join(f"values={number}" for number in range(settings.DATA_UPLOAD_MAX_NUMBER_FIELDS + 1))
    assert_in_words(client.post(to("answer"), body, content_type=URLENCODED), 400)
    assert not attempt.events.exists()


@pytest.mark.parametrize(
    ("body", "kind"),
    [
        ("--x\r\nno part", "multipart/form-data; boundary=x"),
        ("nothing", "multipart/form-data"),
        ('{"finding": "c"}', "application/json"),
        ("%ff=%ff&%00=%00&finding=%ed%a0%80", URLENCODED),
        ("", URLENCODED),
    ],
)
def test_a_body_that_is_no_form_is_refused_in_words(client, to, attempt, body, kind):
    assert_in_words(client.generic("POST", to("ask"), body, content_type=kind), 400)
    assert not attempt.events.exists()


@pytest.mark.parametrize("name", ["film", "answer"])
def test_a_text_far_too_long_is_refused_in_words(client, to, attempt, name):
    body = {"film": {**ACTS["film"], "reason": "a" * 10_000}, "answer": {"task": "proof", "values": ["a" * 10_000]}}
    assert_in_words(client.post(to(name), body[name]), 400)
    assert not attempt.events.exists()


# ---------------------------------------------------------------- garbage in one field at a time


def garbled():
    """Every field of every act, with every piece of garbage in it."""
    for name, body in [*ACTS.items(), ("answer", MARK), ("answer", CHOICE)]:
        for field in body:
            yield pytest.param(name, body, field, id=f"{name}-{body.get('task', '')}-{field}")


@pytest.mark.parametrize(("name", "body", "field"), list(garbled()))
def test_garbage_in_a_field_is_stored_only_if_it_can_be_read_and_never_breaks_the_page(
    client, to, attempt, committed, name, body, field
):
    stage = STAGE_OF.get(name, Stage.LOOK)
    committed(stage)
    for number, garbage in enumerate(GARBAGE):
        before = attempt.events.count()
        sent = {"key": f"garbage-{number}", **body, field: garbage}
        response = client.post(to(name), sent)
        assert response.status_code in {303, 400, 409}, (garbage, response.status_code)
        if response.status_code != 303:
            assert_in_words(response, response.status_code)
            assert attempt.events.count() == before
    assert client.get(to(stage.value)).status_code == 200


@pytest.mark.parametrize("kind", list(MOVE_FORMS))
def test_a_move_of_extremes_never_breaks_the_bench(client, to, committed, kind):
    stage = Stage.FILL if kind in ("seal_canal", "fill_canal", "coronal_seal") else Stage.SHAPE
    committed(stage)
    fields = [name for name in MOVE_FORMS[kind].base_fields if name not in ("key", "canal")]
    first = {
        name: field.choices[0][0] for name, field in MOVE_FORMS[kind].base_fields.items() if hasattr(field, "choices")
    }
    last = {
        name: field.choices[-1][0] for name, field in MOVE_FORMS[kind].base_fields.items() if hasattr(field, "choices")
    }
    for picked in (first, last):
        for value in ("0", "0.001", "1", "30.999", "31", "1e-300", "1e300", "-0.0"):
            body = {**dict.fromkeys(fields, value), **picked, "kind": kind, "canal": "MB", "stage": stage.value}
            assert client.post(to("move"), body).status_code in {303, 400}, (value, picked)
            assert client.get(to(stage.value)).status_code == 200


def test_a_refused_act_leaves_everything_that_was_stored(client, to, attempt):
    client.post(to("answer"), CHOICE)
    stored = list(attempt.events.values_list("seq", "sha256"))
    for garbage in GARBAGE:
        client.post(to("answer"), {**CHOICE, "values": garbage, "key": "a" * 65})
    assert list(attempt.events.values_list("seq", "sha256")) == stored


# ---------------------------------------------------------------- forms from elsewhere, signing in, other hosts


def test_a_form_without_its_secret_is_refused_in_words(client, to, attempt):
    browser = Client(enforce_csrf_checks=True, raise_request_exception=False)
    browser.cookies = client.cookies
    assert_in_words(browser.post(to("ask"), ACTS["ask"]), 403)
    assert_in_words(browser.post(reverse("sign-in"), {}), 403)
    assert not Event.objects.exists()


def test_a_form_with_its_secret_is_taken(client, to, attempt):
    browser = Client(enforce_csrf_checks=True, raise_request_exception=False)
    browser.cookies = client.cookies
    secret = re.search(r'name="csrfmiddlewaretoken" value="(\w+)"', browser.get(to("look")).content.decode())
    assert browser.post(to("ask"), {**ACTS["ask"], "csrfmiddlewaretoken": secret[1]}).status_code == 303


@pytest.mark.parametrize("field", ["username", "password"])
@pytest.mark.parametrize("garbage", ["", "\0", "a" * 10_000, "<b>", "' or 1=1 --"])
def test_garbage_does_not_sign_in(db, field, garbage):
    UserFactory(username="student07", with_password=True)
    browser = Client(raise_request_exception=False)
    response = browser.post(reverse("sign-in"), {"username": "student07", "password": PASSWORD, field: garbage})
    assert_in_words(response, 200)
    assert 'role="alert"' in response.content.decode()
    assert "<b>" not in re.sub(r"<main.*?<form", "", response.content.decode(), flags=re.S)


@pytest.mark.parametrize(
    "elsewhere", ["https://elsewhere.example/", "//elsewhere.example", "javascript:alert(1)", "\\\\x"]
)
def test_signing_in_leads_to_no_other_site(db, elsewhere):
    UserFactory(username="student07", with_password=True)
    body = {"username": "student07", "password": PASSWORD, "next": elsewhere}
    assert Client().post(reverse("sign-in"), body).headers["Location"] == reverse("home")


def test_another_host_is_refused_in_words(client):
    assert_in_words(client.get(reverse("home"), headers={"host": "elsewhere.example"}), 400)


def test_what_breaks_on_our_side_is_said_in_words(client, to, monkeypatch):
    def breaks(*_, **__):
        raise RuntimeError("a secret of the server")

    monkeypatch.setattr("assess.views.stages.questions", breaks)
    response = client.get(to("look"))
    assert_in_words(response, 500)
    assert "secret of the server" not in response.content.decode()
