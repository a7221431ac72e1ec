"""Every page by the rules of axe, wide and narrow, light and dark; and none scrolls sideways on a narrow screen."""

import uuid

import pytest
from axe_playwright_python.sync_playwright import Axe
from django.urls import reverse
from django.utils import timezone

from assess import actions
from assess.log import Stage
from tests.browser.stored import SOUND, WEAK, begin, replay

WIDTHS = (1280, 390)
NARROW = (390,)
HEIGHT = 900
OPEN_ALL = """() => {
  for (const one of document.querySelectorAll('details')) { one.removeAttribute('name'); one.open = true; }
}"""
SIDEWAYS = "() => document.documentElement.scrollWidth - document.documentElement.clientWidth"
SPOIL = """() => {
  const pale = document.querySelector('h1');
  Object.assign(pale.style, { color: '#777', background: '#888', position: 'absolute', left: 0, width: '500px' });
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
