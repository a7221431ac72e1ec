"""Stepping through a canal's chart: by mouse, by keyboard, by the drawing, and without script."""

import re

import pytest
from django.urls import reverse
from playwright.sync_api import expect

from assess.presenting.benches import bench_of
from tests.browser.stored import SOUND, WEAK, begin, replay
from tests.browser.test_access import SCHEMES, troubles

PHONE = {"width": 390, "height": 844}


@pytest.fixture
def attempt(student):
    attempt = begin(student)
    replay(attempt, SOUND)
    return attempt


@pytest.fixture
def steps(attempt):
    bench = bench_of(attempt.edition.sha256, attempt.edition.document, attempt.state())
    return bench.record_of("ML").steps


@pytest.fixture
def address(attempt):
    return lambda number: f"{reverse('canal-chart', args=[attempt.public_id, 'ML'])}?move={number}"


def stands_at(page, step, place, count):
    expect(page.locator("#chart-said")).to_contain_text(f"Move {step.number}, {place} of {count}")
    expect(page.locator("#chart-said")).to_contain_text(step.felt.words)
    expect(page.locator("#chart-drawing h2")).to_have_text(f"The canal after move {step.number}")
    expect(page).to_have_url(re.compile(rf"\?move={step.number}$"))


def slider(page):
    return page.get_by_role("slider", name="Place among the moves")


def test_the_buttons_step_without_a_reload_and_the_words_are_said(new_page, student, address, steps):
    page, count = new_page(student), len(steps)
    page.goto(address(0))
    expect(page.locator("#chart-said")).to_contain_text("Before any move")
    page.evaluate("() => { window.stayed = document.getElementById('chart-said'); }")
    for place, step in enumerate(steps[:4], 1):
        page.get_by_role("link", name="Next").click()
        stands_at(page, step, place, count)
    page.get_by_role("link", name="Previous").click()
    stands_at(page, steps[2], 3, count)
    region = page.get_by_role("status").filter(has_text="What you felt")
    assert region.evaluate("(one) => one === window.stayed"), "the live region is the one that was there"
    expect(page).to_have_title(re.compile(f"^Canal ML, move {steps[2].number} · "))


def test_arrows_within_the_control_step_and_both_ends_hold(new_page, student, address, steps):
    page, count = new_page(student), len(steps)
    page.goto(address(steps[0].number))
    page.evaluate("() => { window.stayed = true; }")
    slider(page).focus()
    page.keyboard.press("ArrowRight")
    stands_at(page, steps[1], 2, count)
    expect(slider(page)).to_have_attribute("aria-valuetext", f"Move {steps[1].number}, 2 of {count}")
    expect(slider(page)).to_be_focused()
    page.keyboard.press("End")
    stands_at(page, steps[-1], count, count)
    page.keyboard.press("Shift+Tab")
    expect(page.get_by_role("link", name="Previous")).to_be_focused()
    page.keyboard.press("ArrowLeft")
    stands_at(page, steps[-2], count - 1, count)
    page.keyboard.press("Enter")
    stands_at(page, steps[-3], count - 2, count)
    page.keyboard.press("Home")
    expect(page.locator("#chart-said")).to_contain_text("Before any move")
    expect(slider(page)).to_be_focused()  # Previous leads nowhere any more
    assert page.evaluate("() => window.stayed")


def test_a_column_of_the_drawing_leads_to_its_move(new_page, student, address, steps):
    page = new_page(student)
    page.goto(address(0))
    page.locator('#chart-drawing .chart-hit[data-place="7"]').click()
    stands_at(page, steps[6], 7, len(steps))
    assert slider(page).input_value() == "7"


def test_who_drags_on_sees_the_step_they_end_at(new_page, student, address, steps):
    page = new_page(student)
    page.goto(address(0))
    slider(page).evaluate(
        """(one) => { for (const place of [3, 9, 5, 12, 8]) {
          one.value = place;
          one.dispatchEvent(new Event('input', { bubbles: true }));
        } }"""
    )
    stands_at(page, steps[7], 8, len(steps))


def test_an_open_table_stays_open_while_stepping(new_page, student, address, steps):
    page = new_page(student)
    page.goto(address(steps[0].number))
    page.get_by_text("Widths and walls as a table").click()
    expect(page.get_by_role("table", name="Narrow width and walls, mm")).to_be_visible()
    page.get_by_role("link", name="Next").click()
    stands_at(page, steps[1], 2, len(steps))
    expect(page.get_by_role("table", name="Narrow width and walls, mm")).to_be_visible()


def test_without_script_the_links_and_the_form_lead_from_step_to_step(new_page, student, address, steps):
    page, count = new_page(student, java_script_enabled=False), len(steps)
    page.goto(address(0))
    page.get_by_role("link", name="Next").click()
    expect(page.locator("#chart-said")).to_contain_text(f"Move {steps[0].number}, 1 of {count}")
    page.get_by_role("link", name="Next").click()
    expect(page.locator("#chart-said")).to_contain_text(f"Move {steps[1].number}, 2 of {count}")
    slider(page).focus()
    for _ in range(3):
        page.keyboard.press("ArrowRight")
    page.get_by_role("button", name="Show").click()
    expect(page.locator("#chart-said")).to_contain_text(f"Move {steps[4].number}, 5 of {count}")


def test_compare_leads_to_the_steps_and_back(new_page, student, attempt):
    page = new_page(student)
    page.goto(reverse("compare", args=[attempt.public_id]))
    page.get_by_role("link", name="Step through the moves in D").click()
    expect(page.get_by_role("heading", level=1)).to_have_text(re.compile("^Canal D: "))
    page.get_by_role("link", name="Back to Compare").click()
    expect(page.locator("#chart-D")).to_be_in_viewport()


@pytest.mark.parametrize(("log", "query"), [(SOUND, "?move=0"), (WEAK, "")], ids=["before any move", "with harm"])
def test_a_chart_can_be_used(new_page, student, log, query):
    attempt = begin(student)
    replay(attempt, log)
    assert troubles(new_page(student), reverse("canal-chart", args=[attempt.public_id, "MB"]) + query) == []


@pytest.mark.parametrize("scheme", SCHEMES)
def test_words_of_the_drawings_can_be_read_on_a_phone(new_page, student, address, steps, scheme):
    """No smaller than 10.5 px on the screen, and all within it."""
    page = new_page(student, viewport=PHONE, color_scheme=scheme)
    page.goto(address(steps[-1].number))
    sizes = page.locator(".canal-chart text").evaluate_all(
        """(all) => all.map((one) => {
          const box = one.getBoundingClientRect();
          const scale = one.getScreenCTM().a;
          return [one.textContent, parseFloat(getComputedStyle(one).fontSize) * scale, box.left, box.right];
        })"""
    )
    assert len(sizes) > 20
    assert [one for one in sizes if one[1] < 10.5 or one[2] < 0 or one[3] > PHONE["width"]] == []
