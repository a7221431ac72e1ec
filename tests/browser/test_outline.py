"""Drawing an opening in a real browser: mouse, keys alone and taps come to the same; without script, numbers do."""

import re

import numpy as np
import pytest
from django.urls import reverse
from django.utils import timezone
from playwright.sync_api import expect

from assess import actions
from assess.log import Stage
from tests.assess.pages.reading import PERCENTS
from tests.browser.hands import Keyboard
from tests.browser.stored import begin, record
from tests.browser.test_access import troubles
from tests.factories import leaning_abutment

OUTLINE = [(-3.0, -2.0), (-3.0, 1.5), (0.5, 2.5), (3.0, 1.0), (3.0, -1.0), (0.5, -2.5)]
ORIFICE = (2.0, 0.5)
NEAR_MM = 0.05 + 1e-6
ON_SCREEN = """([right, down]) => {
  const svg = document.querySelector('crown-outline svg');
  svg.closest('[data-part]').scrollIntoView({ block: 'center' });
  const at = new DOMPoint(right, down).matrixTransform(svg.getScreenCTM());
  return [at.x, at.y];
}"""
CURSOR = re.compile(r"Cursor ([\d.]+) mm (left|right), ([\d.]+) mm (up|down)")
INNER = ("map-inner", "map-chamber", "map-orifice", "map-roof", "map-cut-usual", "map-pin")


@pytest.fixture
def attempt(student):
    """At the stage Open, nothing answered."""
    attempt = begin(student)
    for stage in (Stage.LOOK, Stage.WEIGH):
        actions.commit_stage(attempt=attempt, stage=stage, by=student, now=timezone.now())
    return attempt


def opened(page, attempt):
    page.goto(reverse("open", args=[attempt.public_id]))
    return page.locator("#q-outline")


def by_mouse(page, places, orifices):
    def set_all(points):
        for point in points:
            page.mouse.click(*page.evaluate(ON_SCREEN, point))

    set_all(places)
    page.get_by_role("button", name="Expected orifice").click()
    set_all(orifices)


def by_taps(page, places, orifices):
    def set_all(points):
        for point in points:
            page.touchscreen.tap(*page.evaluate(ON_SCREEN, point))

    set_all(places)
    page.get_by_role("button", name="Expected orifice").tap()
    set_all(orifices)


def by_keys(page, places, orifices):
    """Tab, arrows and Enter; the cursor is told where it is by the sentence under the map."""
    keyboard, drawing = Keyboard(page), page.get_by_role("application")

    def set_all(points):
        keyboard.go_to(drawing)
        page.keyboard.press("ArrowRight")  # the first arrow only brings the cursor up
        for point in points:
            found = CURSOR.search(page.get_by_role("status").filter(has_text="Cursor").inner_text())
            at = [
                float(found[1]) * (1 if found[2] == "right" else -1),
                float(found[3]) * (1 if found[4] == "down" else -1),
            ]
            for wanted, now, keys in zip(
                point, at, (("ArrowLeft", "ArrowRight"), ("ArrowUp", "ArrowDown")), strict=True
            ):
                leaps, steps = divmod(round(abs(wanted - now) * 10), 10)
                key = keys[wanted > now]
                for press in (*[f"Shift+{key}"] * leaps, *[key] * steps):
                    page.keyboard.press(press)
            page.keyboard.press("Enter")

    set_all(places)
    keyboard.press(page.get_by_role("button", name="Expected orifice"))
    keyboard.go_to(drawing)
    page.keyboard.press("Escape")
    set_all(orifices)


WAYS = {
    "mouse": (by_mouse, {"viewport": {"width": 1280, "height": 900}}),
    "keys": (by_keys, {"viewport": {"width": 1280, "height": 900}}),
    "taps": (by_taps, {"viewport": {"width": 390, "height": 844}, "has_touch": True}),
}


@pytest.mark.parametrize("way", WAYS)
def test_every_hand_draws_the_same_outline(new_page, student, attempt, way):
    draw, options = WAYS[way]
    page = new_page(student, **options)
    question = opened(page, attempt)
    draw(page, OUTLINE, [ORIFICE])
    expect(question.locator(".outline-said")).to_contain_text("Outline: 6 points")
    expect(question.locator(".outline-said")).to_contain_text("Orifices expected: 1.")
    question.get_by_role("button", name="Save").press("Enter")
    expect(question.locator(".saved")).to_have_text(re.compile("Saved|Answered"))
    said = attempt.state().answers["outline"]
    assert np.array(said.outline_mm) == pytest.approx(np.array(OUTLINE), abs=NEAR_MM)
    assert np.array(said.orifices_mm) == pytest.approx(np.array([ORIFICE]), abs=NEAR_MM)


def test_it_saves_itself_once_the_hand_rests_and_stands_there_again(new_page, student, attempt):
    page = new_page(student)
    question = opened(page, attempt)
    by_mouse(page, OUTLINE, [])
    expect(question.get_by_role("status").filter(has_text="Saved")).to_be_visible()
    before = question.locator('[name="outline"]').input_value()
    page.reload()
    assert page.locator('[name="outline"]').input_value() == before
    expect(page.locator("#q-outline .outline-point")).to_have_count(6)
    expect(page.locator("#q-outline .map-cut-own")).to_have_count(1)


def test_a_point_is_chosen_moved_removed_and_brought_back(new_page, student, attempt):
    page = new_page(student)
    question = opened(page, attempt)
    by_mouse(page, OUTLINE, [])
    page.get_by_role("button", name="Outline", exact=True).click()
    field = question.locator('[name="outline"]')
    drawn = field.input_value()
    question.get_by_role("button", name="Next point").click()
    expect(question.locator(".outline-said")).to_contain_text("Point 1 chosen, 3.0 mm left, 2.0 mm up")
    question.get_by_role("button", name="Right by 0.1 mm").click()
    assert field.input_value().splitlines()[0] == "-2.9 -2"
    question.get_by_role("button", name="Remove").click()
    assert field.input_value() == "\n".join(drawn.splitlines()[1:])
    question.get_by_role("button", name="Undo").click()
    question.get_by_role("button", name="Undo").click()
    assert field.input_value() == drawn
    page.mouse.click(*page.evaluate(ON_SCREEN, OUTLINE[3]))  # near a point: it is chosen, not doubled
    page.mouse.click(*page.evaluate(ON_SCREEN, (3.5, 1.5)))
    right, down = (float(part) for part in field.input_value().splitlines()[3].split())
    assert (right, down) == pytest.approx((3.5, 1.5), abs=NEAR_MM)
    assert len(field.input_value().splitlines()) == 6


def test_numbers_typed_in_the_field_are_drawn(new_page, student, attempt):
    page = new_page(student)
    question = opened(page, attempt)
    question.locator("summary", has_text="As numbers").click()
    question.locator('[name="outline"]').fill("-2 -2\n2 -2\n2 2")
    expect(question.locator(".outline-point")).to_have_count(3)
    expect(question.locator(".outline-said")).to_contain_text("Outline: 3 points, 8.0 mm².")  # half of 4 by 4


def test_without_script_the_numbers_are_taken(new_page, student, attempt):
    page = new_page(student, java_script_enabled=False)
    question = opened(page, attempt)
    expect(question.get_by_role("button", name="Undo")).to_have_count(0)
    question.locator('[name="outline"]').fill("-2 -2\n2 -2\n2 2\n-2 2")
    question.locator('[name="orifices"]').fill("1.5 0")
    question.get_by_label("Fairly sure").check()
    question.get_by_role("button", name="Save").click()
    expect(page.locator("#q-outline .saved")).to_have_text(re.compile("Answered"))
    said = attempt.state().answers["outline"]
    assert said.outline_mm == ((-2, -2), (2, -2), (2, 2), (-2, 2))
    assert said.orifices_mm == ((1.5, 0),)
    expect(page.locator("#q-outline .map-cut-own")).to_have_count(1)


def test_a_refused_outline_is_said_where_it_was_drawn(new_page, student, attempt, watch):
    page = new_page(student)
    question = opened(page, attempt)
    with watch.expecting(page, "400"):
        by_mouse(page, [(-2, -2), (2, 2), (2, -2), (-2, 2)], [])
        expect(question).to_contain_text("The outline crosses itself between points 1 and 2 and points 3 and 4")
    assert "outline" not in attempt.state().answers


def test_the_page_with_an_outline_can_be_used_by_everybody(new_page, student, attempt):
    record(attempt, "outlined", stage="open", task="outline", outline_mm=OUTLINE, orifices_mm=[ORIFICE])
    assert troubles(new_page(student), reverse("open", args=[attempt.public_id])) == []


def scaled(by, right=0.0):
    points = np.array(leaning_abutment()[1].opening.outline_mm)
    middle = points.mean(axis=0)
    return np.round(middle + by * (points - middle) + [right, 0.0], 2).tolist()


@pytest.mark.parametrize(
    ("places", "short"), [(scaled(0.5), "too small"), (scaled(1.0), "right"), (scaled(1.25, 1.0), "gouged")]
)
def test_too_small_right_and_gouging_are_three_verdicts_on_compare_and_none_before(
    new_page, student, attempt, places, short
):
    page = new_page(student)
    opened(page, attempt).locator("summary", has_text="As numbers").click()
    page.locator('[name="outline"]').fill("\n".join(f"{right} {down}" for right, down in places))
    page.locator("#q-outline").get_by_role("button", name="Save").click()
    expect(page.locator("#q-outline .saved")).to_have_text(re.compile("Saved|Answered"))
    assert not any(inner in page.content() for inner in INNER)
    doing = {"attempt": attempt, "by": student}
    for stage in (Stage.OPEN, Stage.SHAPE, Stage.FILL):
        actions.commit_stage(stage=stage, now=timezone.now(), **doing)
    page.goto(reverse("compare", args=[attempt.public_id]))
    assert not any(inner in page.content() for inner in INNER)
    actions.self_grade(percents=PERCENTS, now=timezone.now(), **doing)
    page.goto(reverse("compare", args=[attempt.public_id]))
    page.evaluate("() => { for (const one of document.querySelectorAll('details')) one.open = true; }")
    expect(page.locator(".opening")).to_contain_text(f"this opening is {short}")
    expect(page.locator(".opening svg.tooth-map .map-cut-own")).to_have_count(1)
    expect(page.locator(".opening svg.tooth-map .map-cut-usual")).to_have_count(1)


def test_what_it_came_to_can_be_used_by_everybody(new_page, student, attempt):
    record(attempt, "outlined", stage="open", task="outline", outline_mm=scaled(1.25, 1.0), orifices_mm=[ORIFICE])
    for stage in (Stage.OPEN, Stage.SHAPE, Stage.FILL):
        actions.commit_stage(attempt=attempt, stage=stage, by=student, now=timezone.now())
    actions.self_grade(attempt=attempt, percents=PERCENTS, by=student, now=timezone.now())
    assert troubles(new_page(student), reverse("compare", args=[attempt.public_id])) == []
