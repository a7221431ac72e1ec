"""The molar, worked in a browser from the sign-in to the feedback."""

import json
from io import StringIO

import pytest
from django.core.management import call_command
from playwright.sync_api import expect

from assess.grading import grade, grade_record
from assess.log import read_log
from assess.models import Attempt, attempt_log_record
from assess.presenting.films import RECEPTOR
from tests.browser.hands import Keyboard, Mouse
from tests.browser.work import Work
from tests.factories import FIXTURES, LEANING_ABUTMENT, leaning_abutment
from tests.tray_fields import as_sent

TITLE = leaning_abutment()[1].title
SOUND = FIXTURES / "logs" / "leaning-abutment.sound.json"
EVENTS = json.loads(SOUND.read_text(encoding="utf-8"))["events"]
STAGES = ("look", "weigh", "open", "shape", "fill", "compare")
NAMES = {stage: stage.capitalize() for stage in STAGES}
FILM_PX = (RECEPTOR.width_px, RECEPTOR.height_px)
ALL_SENT = "() => !Object.keys(localStorage).some((name) => name.startsWith('unsent:'))"
HOLD_THE_FIRST_LOOK = """() => {
  const atOnce = window.fetch;
  window.underWay = 0;
  window.fetch = async (address, options) => {
    window.underWay += 1;
    const answer = await atOnce(address, options);
    window.underWay -= 1;
    if (!options?.method && !window.letGo) await new Promise((go) => { window.letGo = go; });
    return answer;
  };
}"""
CLICKED = 15
"""The first moves, which have every kind that shaping has; the others are sent without the clicks."""


def by_task(task):
    return next(event for event in EVENTS if event.get("task") == task)


APEX, DIAGNOSIS, DECISION = by_task("apex-mark"), by_task("pulpal-diagnosis"), by_task("decision")


def click_on_film(page, place_px):
    """A click where a point of the film stands on the screen, the whole film in sight."""
    stage = page.locator("film-viewer [data-part='stage']")
    stage.scroll_into_view_if_needed()
    box = stage.bounding_box()
    across, down = (share / whole for share, whole in zip(place_px, FILM_PX, strict=True))
    stage.click(position={"x": box["width"] * across, "y": box["height"] * down})


def work_event(work, event):
    """One event of the sound log, done on the page."""
    match event["event"]:
        case "asked":
            work.ask(event["finding"])
        case "film":
            work.expose("mesial-20", event["reason"])
            work.take_up_film(1)
        case "marked":
            work.hand.press(work.page.get_by_role("button", name="Mark", exact=True))
            click_on_film(work.page, event["points_px"][0])
            work.take_mark(event)
        case "chose" | "measured":
            work.answer(event)
        case "levelled":
            work.level(event)
        case "moved":
            work.move(event["canal"], event["move"])
        case "committed":
            work.commit(NAMES[event["stage"]], then=NAMES[STAGES[STAGES.index(event["stage"]) + 1]])
        case "self-graded":
            work.estimate(event["percents"], then="The reason, in your own words")
        case "wrote":
            work.write(event)
        case "outlined":
            work.outline(event)
        case "marked-own":
            work.mark_own(event)


def post_move(work, event):
    """A move sent as the tray's form sends it, without the clicks: by then they have shown what they can."""
    form = work.page.locator("#tray form").first
    hidden = {"csrfmiddlewaretoken": form.locator('input[name="csrfmiddlewaretoken"]').input_value(), "stage": "shape"}
    said = hidden | {"kind": event["move"]["kind"], "canal": event["canal"], **as_sent(event["move"])}
    answer = work.page.request.post(form.get_attribute("action"), form=said)
    assert answer.ok, answer.text()


def graded_by_command(attempt, folder):
    exported = folder / "exported.log.json"
    exported.write_text(json.dumps(attempt_log_record(attempt)), encoding="utf-8")
    printed = StringIO()
    call_command("grade", LEANING_ABUTMENT, "--log", exported, stdout=printed)
    return json.loads(printed.getvalue())


def as_read(record):
    """A record as it comes back from JSON, where there are only lists."""
    return json.loads(json.dumps(record))


def test_a_mouse_user_works_the_molar_and_gets_the_grade_of_the_command(new_page, student, tmp_path):
    page = new_page()
    work = Work(page, Mouse(page))
    work.sign_in(student.username)
    work.start(TITLE)
    work.film_is_ready()
    moves = [event for event in EVENTS if event["event"] == "moved"]
    for event in EVENTS:
        if event in moves[CLICKED:] and event["move"]["kind"] != "fit_cone":
            post_move(work, event)
        else:
            work_event(work, event)

    attempt = Attempt.objects.get(student=student)
    stored, sound = attempt.grades.get(), read_log(SOUND, case="leaning-abutment").state()
    worked = attempt.state()
    assert (worked.asked, worked.moves, worked.closed[:-1]) == (sound.asked, sound.moves, sound.closed)
    assert set(worked.answers) == set(sound.answers)
    assert worked.answers["apex-mark"].points_px[0] == pytest.approx(APEX["points_px"][0], abs=3)
    result = grade(leaning_abutment()[1], attempt.log())
    assert stored.result == as_read(grade_record(result)) == graded_by_command(attempt, tmp_path)
    assert stored.percent == 100
    assert result.unsafe == ()

    expect(page.get_by_text("Your answers agree with the rubric for 100 % of its weight")).to_be_visible()
    expect(page.get_by_text("No unsafe step was found in this attempt.")).to_be_visible()
    for canal in ("MB", "ML", "D"):
        expect(page.get_by_role("img", name=f"Canal {canal} in its root")).to_be_visible()


def test_the_keyboard_alone_goes_from_the_sign_in_to_the_feedback(new_page, student, tmp_path):
    page = new_page()
    keyboard = Keyboard(page)
    work = Work(page, keyboard)
    work.sign_in(student.username)
    work.start(TITLE)
    work.film_is_ready()
    work.ask("c")
    keyboard.press(page.get_by_role("button", name="Mark", exact=True))
    for key, times in (("Shift+ArrowRight", 5), ("ArrowRight", 6), ("Shift+ArrowDown", 7), ("ArrowDown", 1)):
        for _ in range(times):  # from the middle of the film, in whole and tenth millimetres
            page.keyboard.press(key)
    page.keyboard.press("Enter")
    work.take_mark(APEX)
    work.answer(DIAGNOSIS)
    work.commit("Look", then="Weigh")
    work.level(by_task("difficulty-levels.urgency") | {"evidence": ["a", "c"]})
    work.answer(DECISION)
    work.commit("Weigh", then="Open")
    expect(page.get_by_text("Exercise: carried on as the specialist would")).to_be_visible()
    work.answer(by_task("rubber-dam"))
    work.commit("Open", then="Shape")
    for event in [event for event in EVENTS if event["event"] == "moved"][:2]:
        work.move(event["canal"], event["move"])
    work.answer(by_task("working-length.MB"))
    work.commit("Shape", then="Fill")
    work.answer(by_task("seal"))
    work.commit("Fill", then="Compare")
    work.estimate(next(event["percents"] for event in EVENTS if event["event"] == "self-graded"))

    attempt = Attempt.objects.get(student=student)
    assert attempt.state().answers["apex-mark"].points_px[0] == pytest.approx(APEX["points_px"][0], abs=3)
    assert attempt.grades.get().result == graded_by_command(attempt, tmp_path)


def test_another_device_goes_on_at_the_same_event(new_page, student, watch):
    first = new_page()
    work = Work(first, Mouse(first))
    work.sign_in(student.username)
    work.start(TITLE)
    work.ask("c")
    work.answer(DIAGNOSIS)
    work.commit("Look", then="Weigh")
    work.answer(DECISION)
    first.wait_for_function(ALL_SENT)  # an answer saves itself at each click, and the last of them may be under way
    attempt = Attempt.objects.get(student=student)
    before = attempt.log()

    second = new_page()
    elsewhere = Work(second, Mouse(second))
    elsewhere.sign_in(student.username)
    second.get_by_role("link", name="Go on with Weigh").click()
    elsewhere.is_at("Weigh")
    expect(elsewhere.form("decision").get_by_role("radio", name="Refer")).to_be_checked()
    assert attempt.log() == before
    elsewhere.commit("Weigh", then="Open")
    assert len(attempt.log()) == len(before) + 1

    factor = work.form("difficulty-levels.health")
    with watch.expecting(first, "409"):
        factor.locator('input[name="level"]').first.check()
        expect(first.get_by_text("This stage is committed.")).to_be_visible()
    assert len(attempt.log()) == len(before) + 1


def test_levels_given_quickly_are_all_shown_though_an_older_look_comes_back_late(new_page, student):
    page = new_page()
    work = Work(page, Mouse(page))
    work.sign_in(student.username)
    work.start(TITLE)
    work.commit("Look", then="Weigh")
    page.evaluate(HOLD_THE_FIRST_LOOK)
    for factor in ("health", "numbing"):
        work.level(by_task(f"difficulty-levels.{factor}") | {"evidence": ["a"]})
    page.wait_for_function(ALL_SENT)
    page.wait_for_function("() => window.letGo && window.underWay === 0")
    page.wait_for_timeout(500)
    page.evaluate("() => window.letGo()")
    page.wait_for_timeout(500)  # what came late has been shown by then
    expect(page.get_by_text("2 of 17 factors have a level.")).to_be_visible()
    expect(page.get_by_role("heading", name="So far: 2 of 17")).to_be_visible()
    expect(page.locator("details.factor > summary", has_text="no level yet")).to_have_count(15)


def test_without_script_a_stage_is_worked_by_its_forms(new_page, student):
    page = new_page(java_script_enabled=False)
    work = Work(page, Mouse(page))
    work.sign_in(student.username)
    work.start(TITLE)
    for event in EVENTS[: [event["event"] for event in EVENTS].index("committed")]:
        if event["event"] == "asked":
            if event["finding"] in by_task("proof")["values"]:
                work.ask(event["finding"])
        elif event["event"] == "film":
            work.expose("mesial-20", event["reason"])
        elif event["event"] == "marked":
            form = work.form(event["task"])
            for name, value in (("x1", "26.06"), ("y1", "22.64")):  # 921 and 800 pixels of 0.0283 mm
                work.hand.write(form.locator(f'input[name="{name}"]'), value)
            work.answer(event)
        else:
            work_event(work, event)
    work.commit("Look", then="Weigh")
