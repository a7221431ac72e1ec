"""Orders and reasons in a real browser: by taps, by keys, without scripts; and axe on their pages."""

import pytest
from django.urls import reverse
from django.utils import timezone
from playwright.sync_api import expect

from assess import actions
from assess.log import Stage
from casebank.rubric import bundled
from tests.assess.told import ORDERS, REASON
from tests.browser.hands import Keyboard
from tests.browser.stored import SOUND, begin, events_of, replay
from tests.browser.test_access import troubles
from tests.factories import leaning_abutment

ORDER = ORDERS["full-day"]
WORDS = bundled(leaning_abutment()[1].rubric).criterion("full-day").rule.items
LEAST_PX = 44


@pytest.fixture
def attempt(student):
    """At Weigh, where a rank and a reason are asked."""
    attempt = begin(student)
    replay(attempt, SOUND, until=Stage.WEIGH)
    return attempt


@pytest.fixture
def fresh(student):
    """At Weigh with nothing answered there."""
    attempt = begin(student)
    actions.commit_stage(attempt=attempt, stage=Stage.LOOK, by=student, now=timezone.now())
    return attempt


def question(page, attempt, task):
    page.goto(reverse("weigh", args=[attempt.public_id]))
    return page.locator(f"#q-{task}")


def tap(asked, item):
    return asked.locator(f'li[data-words="{WORDS[item]}"] .order-tap')


def move(asked, name, item):
    return asked.get_by_role("button", name=f"{name}: {WORDS[item]}")


def order_so_far(asked):
    return asked.locator('[data-part="so-far"] li')


def saved(asked):
    expect(asked.locator(".saved")).to_contain_text("Saved")


def stored(attempt):
    answer = attempt.state().answers.get("full-day")
    return answer.values if answer else None


def test_taps_number_the_items_and_only_a_whole_order_is_saved(new_page, student, fresh):
    asked = question(new_page(student, has_touch=True, viewport={"width": 390, "height": 800}), fresh, "full-day")
    asked.get_by_label("Unsure").check()
    for place, item in enumerate(ORDER, 1):
        tap(asked, item).tap()
        expect(asked.locator(".order-said")).to_contain_text(f"{WORDS[item]}: place {place} of 6.")
        if place == 3:
            expect(asked.locator(".order-said")).to_contain_text("3 still without a place; saved once each has one.")
            assert stored(fresh) is None
    saved(asked)
    expect(order_so_far(asked)).to_have_text([WORDS[item] for item in ORDER])
    assert stored(fresh) == ORDER

    tap(asked, "ring").tap()  # takes its place away, and the next moves up
    expect(asked.locator(".order-said")).to_contain_text("no place any more")
    expect(order_so_far(asked)).to_have_count(5)
    tap(asked, "ring").tap()
    expect(order_so_far(asked).last).to_have_text(WORDS["ring"])


def test_the_keyboard_alone_puts_them_in_order(new_page, student, fresh):
    page = new_page(student)
    asked, hand = question(page, fresh, "full-day"), Keyboard(page)
    for item in ("find-tooth", "danger-signs", "supervisor", "drain", "tablets-away"):
        hand.press(tap(asked, item))
    hand.press(move(asked, "First", "ring"))
    expect(order_so_far(asked).first).to_have_text(WORDS["ring"])
    for _ in range(4):
        hand.press(move(asked, "Later", "ring"))
    hand.press(move(asked, "Earlier", "danger-signs"))
    expect(order_so_far(asked)).to_have_text([WORDS[item] for item in ORDER])
    hand.press(move(asked, "Later", "tablets-away"))
    expect(asked.locator(".order-said")).to_have_text(f"{WORDS['tablets-away']} stays at place 6.")
    expect(move(asked, "Later", "tablets-away")).to_be_focused()
    hand.pick(asked.get_by_label("Unsure"))
    saved(asked)
    assert stored(fresh) == ORDER
    page.reload()
    expect(order_so_far(asked)).to_have_text([WORDS[item] for item in ORDER])


def test_without_scripts_each_item_has_a_field_for_its_place(new_page, student, fresh):
    page = new_page(student, java_script_enabled=False)
    asked = question(page, fresh, "full-day")
    for place, item in enumerate(ORDER, 1):
        asked.get_by_label(WORDS[item]).select_option(str(place))
    asked.get_by_label("Unsure").check()
    asked.get_by_role("button", name="Save").click()
    expect(page.locator("#q-full-day").get_by_label(WORDS["drain"])).to_have_value("4")
    assert stored(fresh) == ORDER


def test_every_control_of_an_order_is_large_enough_for_a_finger(new_page, student, fresh):
    asked = question(new_page(student, viewport={"width": 390, "height": 800}), fresh, "full-day")
    boxes = [one.bounding_box() for one in asked.locator("put-in-order button").all()]
    assert len(boxes) == 4 * len(ORDER)
    assert [box for box in boxes if min(box["width"], box["height"]) < LEAST_PX] == []


def test_a_reason_tells_the_letters_left_and_saves_itself(new_page, student, fresh):
    page = new_page(student)
    asked = question(page, fresh, "reason")
    asked.get_by_label("Your reason").fill(REASON)
    expect(asked.locator("[aria-live=polite]")).to_have_text(f"{1200 - len(REASON)} letters left")
    page.keyboard.press("Tab")
    saved(asked)
    assert fresh.state().answers["reason"].text == REASON


def test_own_words_are_marked_between_the_estimate_and_the_result(new_page, student, case):
    attempt = begin(student)
    waiting = next(event for event in events_of(SOUND) if event["event"] == "self-graded")
    replay(attempt, SOUND, until=Stage.COMPARE)
    page = new_page(student)
    page.goto(reverse("compare", args=[attempt.public_id]))
    for stage, percent in waiting["percents"].items():
        page.locator(f'input[name="{stage}"]').fill(str(percent))
    page.get_by_role("button", name="Store my estimate").click()
    hand = Keyboard(page)
    hand.pick(page.get_by_label("What decides"))
    hand.press(page.get_by_role("button", name="Store my marks and show the result"))
    expect(page.get_by_role("heading", name="Agreement by stage")).to_be_visible()
    expect(page.get_by_role("heading", name="In your own words 25 %")).to_be_visible()


def test_axe_finds_nothing_on_the_questions_the_marks_and_the_comparison(new_page, student, attempt):
    page = new_page(student)
    assert troubles(page, reverse("weigh", args=[attempt.public_id])) == []
    for event in events_of(SOUND):
        doing = {"attempt": attempt, "by": student, "now": timezone.now()}
        if event["event"] == "committed" and event["stage"] in ("weigh", "open", "shape", "fill"):
            if event["stage"] == "weigh":
                fields = {"stage": "weigh", "task": "full-day", "values": ["tablets-away", *ORDER[:-1]]}
                actions.record(event="chose", fields=fields, **doing)
            actions.commit_stage(stage=Stage(event["stage"]), **doing)
        if event["event"] == "self-graded":
            actions.self_grade(percents=event["percents"], **doing)
    assert troubles(page, reverse("mark-own", args=[attempt.public_id])) == []
    actions.mark_own(attempt=attempt, met={"reason": ("factor",)}, by=student, now=timezone.now())
    assert troubles(page, reverse("compare", args=[attempt.public_id])) == []
