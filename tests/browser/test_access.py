"""Every page by the rules of axe, wide and narrow, light and dark; and none scrolls sideways on a narrow screen."""

import json
import uuid
from datetime import timedelta

import pytest
from axe_playwright_python.sync_playwright import Axe
from django.urls import reverse
from django.utils import timezone

from assess import actions
from assess.log import Stage
from assess.models import Feedback, Mode
from casebank.actions import import_draft
from casebank.models import Case, Role
from tests.assess.pages.school import counted, set_for, unsafe
from tests.browser.hands import Keyboard
from tests.browser.stored import SOUND, WEAK, begin, replay
from tests.factories import (
    LEANING_ABUTMENT,
    AssignedCaseFactory,
    AssignmentFactory,
    CohortFactory,
    SeatFactory,
    member,
    seated,
)

WIDTHS = (1280, 390)
NARROW = (390,)
HEIGHT = 900
OPEN_ALL = """() => {
  for (const one of document.querySelectorAll('details')) { one.removeAttribute('name'); one.open = true; }
}"""
SIDEWAYS = "() => document.documentElement.scrollWidth - document.documentElement.clientWidth"
SPOIL = """() => {
  const pale = document.createElement('p');
  pale.textContent = 'Words nobody can read';
  Object.assign(pale.style, { color: '#777', background: '#888', width: '500px' });
  document.body.prepend(pale);
}"""
OUTSIDE = ("landing", "sign-in")
LISTS = ("home", "cases")
WORKED = tuple(stage for stage in Stage if stage is not Stage.COMPARE)


AXE = Axe()
ALL_RULES = {"resultTypes": ["violations"]}  # what is well needs no list, and listing it takes most of the time
RULES_OF_COLOUR = ALL_RULES | {"runOnly": ["color-contrast", "link-in-text-block"]}
"""All that another scheme can change: it brings other colours, and nothing else."""
SCHEMES = {"light": ALL_RULES, "dark": RULES_OF_COLOUR}


def troubles(page, url, widths=WIDTHS):
    """What axe finds and what sticks out, in each width and scheme, with every disclosure closed and then open."""
    found = []
    for width in widths:
        page.set_viewport_size({"width": width, "height": HEIGHT})
        page.goto(url)
        found += _sticking_out(page, width, "closed")
        page.evaluate(OPEN_ALL)
        found += _sticking_out(page, width, "open")
        for scheme, rules in SCHEMES.items():
            page.emulate_media(color_scheme=scheme)
            found += [f"{width} px, {scheme}: {one}" for one in _violations(page, rules)]
    return found


def _sticking_out(page, width, state):
    beyond = page.evaluate(SIDEWAYS)
    return [f"{width} px, disclosures {state}: {beyond} px wider than the screen"] if beyond > 0 else []


def _violations(page, rules):
    return [
        f"{rule['id']} at {node['target']}: {node['failureSummary']}"
        for rule in AXE.run(page, options=rules).response["violations"]
        for node in rule["nodes"]
    ]


@pytest.mark.parametrize("name", OUTSIDE)
def test_anyone_can_use_the_way_in(new_page, name):
    assert troubles(new_page(), reverse(name)) == []


@pytest.mark.parametrize("name", LISTS)
def test_a_list_can_be_used(new_page, student, name):
    begin(student)
    assert troubles(new_page(student), reverse(name)) == []


def test_the_page_of_a_case_can_be_used(new_page, student, case):
    assert troubles(new_page(student), reverse("case", args=[case.slug])) == []


@pytest.mark.parametrize("stage", WORKED)
def test_a_stage_can_be_used_open_and_committed(new_page, student, stage):
    attempt = begin(student)
    replay(attempt, SOUND, until=stage)
    page = new_page(student)
    address = reverse(stage, args=[attempt.public_id])
    assert troubles(page, address) == []
    actions.commit_stage(attempt=attempt, stage=stage, by=student, now=timezone.now())
    assert troubles(page, address, widths=NARROW) == []


@pytest.mark.parametrize("until", [Stage.LOOK, None])
def test_the_confirmation_can_be_used_with_and_without_open_things(new_page, student, until):
    attempt = begin(student)
    if until:
        replay(attempt, SOUND, until=until)
    assert troubles(new_page(student), reverse("commit", args=[attempt.public_id, Stage.LOOK])) == []


def test_the_own_estimate_can_be_given(new_page, student):
    attempt = begin(student)
    replay(attempt, SOUND, until=Stage.COMPARE)
    assert troubles(new_page(student), reverse("compare", args=[attempt.public_id])) == []


def test_the_feedback_can_be_used(new_page, student):
    attempt = begin(student)
    replay(attempt, WEAK)  # it has unsafe steps and everything else that a sound one has
    assert troubles(new_page(student), reverse("compare", args=[attempt.public_id])) == []


SCHOOL = (
    *("cohorts", "cohort", "set-assignment", "roster", "assignment-table", "practice-table", "programme-table"),
    *("competencies", "licence"),
)


@pytest.fixture
def director(case):
    return member(Role.DIRECTOR, username="director1")


@pytest.fixture
def school(director):
    """A cohort with seats and work, figures of a graded assignment, and practice that is still open: its addresses."""
    cohort = CohortFactory()
    for role in (Role.STUDENT, Role.STUDENT, Role.INSTRUCTOR):
        seated(cohort, role)
    graded, practice = set_for(cohort), set_for(cohort, mode=Mode.PRACTICE, title="Tasters")
    for item in ("difficulty-levels.crown", "curvature", "seal"):
        counted(graded, item, agree=9, over=2, under=7, other=1, silent=2)
    unsafe(graded, "needle-bound", 4)
    programme = cohort.programme.slug
    return {
        "cohorts": reverse("cohorts"),
        "cohort": reverse("cohort", args=[cohort.pk]),
        "set-assignment": reverse("set-assignment", args=[cohort.pk]),
        "roster": reverse("roster", args=[programme]),
        "assignment-table": reverse("assignment-table", args=[graded.assignment.public_id]),
        "practice-table": reverse("assignment-table", args=[practice.assignment.public_id]),
        "programme-table": reverse("programme-table", args=[programme, "graded"]),
        "competencies": reverse("competencies"),
        "licence": reverse("licence", args=[programme]),
    }


@pytest.mark.parametrize("name", SCHOOL)
def test_a_page_of_the_director_can_be_used(new_page, director, school, name):
    assert troubles(new_page(director), school[name]) == []


TEACHING = (
    *(
        "home",
        "bank",
        "import-case",
        "draft",
        "draft-that-contradicts-itself",
        "publish-draft",
        "draft-key",
        "case-key",
    ),
    *(f"preview-{stage}" for stage in WORKED),
    *("cohort-attempts", "read-look", "read-weigh", "read-shape", "read-compare"),
)


@pytest.fixture
def tutor(case):
    return seated(CohortFactory(), Role.INSTRUCTOR, username="tutor1")


def graded_now(student, title, **fields):
    """An attempt by the weak log at a case that is set as graded work of the cohort and open now."""
    now, day = timezone.now(), timedelta(days=1)
    cohort = CohortFactory()
    SeatFactory(cohort=cohort, membership=student.memberships.get())
    work = AssignmentFactory(cohort=cohort, title=title, opens_at=now - day, closes_at=now + day, **fields)
    assigned = AssignedCaseFactory(assignment=work, edition=Case.objects.get().latest_edition())
    return actions.start_assigned(assigned=assigned, by=student, now=now)


@pytest.fixture
def teaching(case, student, tutor):
    """Addresses of whoever teaches: two drafts, one of which cannot be published, and an attempt to read."""
    sound = LEANING_ABUTMENT.read_bytes()
    content = json.loads(sound)
    content |= {"slug": "odd", "diagnosis": content["diagnosis"] | {"terms": "our own", "apical": "no such term"}}
    drafts = [import_draft(content=one, by=tutor, now=timezone.now()) for one in (sound, json.dumps(content).encode())]
    draft, odd = (one.public_id for one in drafts)
    attempt = graded_now(student, "Work of the spring")
    replay(attempt, WEAK)
    return {
        **{name: reverse(name) for name in ("home", "bank", "import-case")},
        **{name: reverse(name, args=[draft]) for name in ("draft", "publish-draft", "draft-key")},
        "draft-that-contradicts-itself": reverse("draft", args=[odd]),
        "case-key": reverse("case-key", args=[case.slug]),
        **{f"preview-{stage}": reverse("preview", args=[draft, stage]) for stage in WORKED},
        "cohort-attempts": reverse("cohort-attempts", args=[CohortFactory().pk]),
        **{f"read-{stage}": reverse(stage, args=[attempt.public_id]) for stage in Stage},
    }


@pytest.mark.parametrize("name", TEACHING)
def test_a_page_of_whoever_teaches_can_be_used(new_page, tutor, teaching, name):
    assert troubles(new_page(tutor), teaching[name]) == []


def test_what_is_wrong_with_a_file_can_be_read(new_page, tutor, watch):
    page = new_page(tutor, viewport={"width": 390, "height": HEIGHT})
    page.goto(reverse("import-case"))
    case = json.loads(LEANING_ABUTMENT.read_bytes()) | {"a-field-of-no-schema-with-a-long-name": 1, "title": ""}
    file = {"name": "mine.case.json", "mimeType": "application/json", "buffer": json.dumps(case).encode()}
    page.get_by_label("Case file", exact=True).set_input_files(file)
    with watch.expecting(page, "400"):
        page.get_by_role("button", name="Check only").click()
        assert [*_sticking_out(page, 390, "as sent"), *_violations(page, ALL_RULES)] == []


def test_assigned_work_can_be_used_at_home_and_on_its_own_page(new_page, student):
    attempt = graded_now(student, "Work of the spring")
    assigned = reverse("assigned-case", args=[attempt.assigned.assignment.public_id, attempt.edition.case.slug])
    page = new_page(student)
    for address in (reverse("home"), assigned, reverse("case", args=[attempt.edition.case.slug])):
        assert troubles(page, address) == []


def test_results_that_are_kept_back_can_be_used(new_page, student):
    attempt = graded_now(student, "Work of the spring", feedback=Feedback.AFTER_CLOSING)
    replay(attempt, WEAK)
    assert troubles(new_page(student), reverse("compare", args=[attempt.public_id]), widths=NARROW) == []


@pytest.mark.parametrize("width", WIDTHS)
def test_what_comes_back_from_the_directors_forms_can_be_used(new_page, director, school, watch, width):
    """Answers to what was sent: a tried roster, one with problems, errors at fields, and a password."""
    page = new_page(director, viewport={"width": width, "height": HEIGHT})
    roster = "account,cohort\nstudent01,{}\n".format

    def wrong_with_what_comes_back(button):
        page.locator("main").get_by_role("button", name=button).first.click()
        page.evaluate(OPEN_ALL)
        return [*_sticking_out(page, width, "open"), *_violations(page, ALL_RULES)]

    def send_roster(cohort):
        page.goto(school["roster"])
        file = {"name": "roster.csv", "mimeType": "text/csv", "buffer": roster(cohort).encode()}
        page.get_by_label("Roster, a CSV file").set_input_files(file)
        return wrong_with_what_comes_back("Show what it would change")

    assert send_roster("landing-4") == []
    with watch.expecting(page, "400"):
        assert send_roster("nowhere") == []
    page.goto(school["set-assignment"])
    page.evaluate("() => { for (const form of document.forms) form.noValidate = true; }")
    with watch.expecting(page, "400"):
        assert wrong_with_what_comes_back("Set this work") == []
    page.goto(school["licence"])
    page.locator("[name=low-4]").select_option("refer")
    with watch.expecting(page, "400"):
        assert wrong_with_what_comes_back("State this licence") == []
    page.goto(school["cohort"])
    page.locator("summary", has_text="Give a new one").first.click()
    assert wrong_with_what_comes_back("Give it now") == []


def test_the_wide_map_is_moved_by_the_keyboard_in_its_own_region(new_page, director, school):
    page = new_page(director, viewport={"width": 390, "height": HEIGHT})
    page.goto(school["competencies"])
    region = page.get_by_role("region", name="Tasks by competency and case")
    Keyboard(page).go_to(region)
    page.keyboard.press("ArrowRight")
    page.wait_for_function("(region) => region.scrollLeft > 0", arg=region.element_handle())
    assert page.evaluate(SIDEWAYS) == 0


def test_a_page_that_is_not_there_can_be_used(new_page, student, watch):
    page = new_page(student)
    with watch.expecting(page, *["404"] * len(WIDTHS)):
        assert troubles(page, reverse("look", args=[uuid.uuid4()])) == []


def test_a_stage_that_is_not_open_yet_can_be_used(new_page, student, watch):
    attempt, page = begin(student), new_page(student)
    with watch.expecting(page, *["409"] * len(WIDTHS)):
        assert troubles(page, reverse("fill", args=[attempt.public_id])) == []


@pytest.mark.parametrize("scheme", SCHEMES)
def test_pale_words_and_a_wide_block_are_noticed(new_page, scheme):
    page = new_page(color_scheme=scheme, viewport={"width": 390, "height": HEIGHT})
    page.goto("/")
    page.evaluate(SPOIL)
    assert [one for one in _violations(page, SCHEMES[scheme]) if one.startswith("color-contrast")]
    assert _sticking_out(page, 390, "closed") == ["390 px, disclosures closed: 110 px wider than the screen"]
