"""Leaving open what films do not show, in a real browser: with scripts it saves itself, without them by its button."""

import pytest
from django.urls import reverse
from django.utils import timezone
from playwright.sync_api import expect

from assess.actions import start_attempt

OPEN = "I cannot tell from these films"


@pytest.fixture
def attempt(case, student):
    return start_attempt(case=case, by=student, now=timezone.now())


def question(page, attempt, task):
    page.goto(reverse("look", args=[attempt.public_id]))
    return page.locator(f"#q-{task}")


def test_it_saves_itself_and_half_a_reading_does_not(new_page, student, attempt):
    asked = question(new_page(student), attempt, "curvature")
    asked.get_by_label("MB", exact=False).first.check()
    asked.get_by_label("Unsure").check()
    expect(asked.get_by_role("status")).to_be_empty()
    asked.get_by_label(OPEN).check()
    expect(asked.get_by_role("status")).to_contain_text("Saved")
    answer = attempt.state().answers["curvature"]
    assert (answer.cannot_tell, answer.value) == (True, None)


def test_without_scripts_a_tick_and_the_button_are_enough(new_page, student, attempt):
    page = new_page(student, java_script_enabled=False)
    asked = question(page, attempt, "apex-mark")
    asked.get_by_label(OPEN).check()
    asked.get_by_label("Unsure").check()
    asked.get_by_role("button", name="Save").click()
    expect(page.locator("#q-apex-mark").get_by_label(OPEN)).to_be_checked()
    assert attempt.state().answers["apex-mark"].cannot_tell
