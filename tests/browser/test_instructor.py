"""An instructor's whole way: a case file is checked, imported, previewed and published; a student then finds it."""

import json

import pytest
from django.urls import reverse
from playwright.sync_api import expect

from casebank.models import Case, Draft, Edition, Role
from tests.browser.hands import Keyboard, Mouse
from tests.factories import LEANING_ABUTMENT, PASSWORD, member

SLUG, TITLE = "loose-bridge", "Lower second molar: a bridge that moved"


def case_file(**fields):
    content = json.loads(LEANING_ABUTMENT.read_bytes()) | {"slug": SLUG, "title": TITLE} | fields
    return {"name": "mine.case.json", "mimeType": "application/json", "buffer": json.dumps(content).encode()}


@pytest.fixture
def instructor(case):
    return member(Role.INSTRUCTOR, username="tutor1", with_password=True)


def sign_in(page, hand, name):
    page.goto("/")
    hand.write(page.get_by_label("Account name"), name)
    hand.write(page.get_by_label("Password"), PASSWORD)
    hand.press(page.locator("main").get_by_role("button", name="Sign in"))


def send(page, hand, file, button):
    """The file is given by script: no hand reaches the window in which a system asks for one."""
    page.get_by_label("Case file", exact=True).set_input_files(file)
    hand.press(page.get_by_role("button", name=button))


@pytest.mark.parametrize("hand_of", [Mouse, Keyboard])
def test_an_instructor_imports_previews_and_publishes_and_a_student_finds_the_case(
    new_page, instructor, student, watch, hand_of
):
    page = new_page()
    hand = hand_of(page)
    sign_in(page, hand, instructor.username)
    expect(page.get_by_role("heading", level=1, name="Your teaching")).to_be_visible()
    hand.press(page.get_by_role("link", name="Import a case"))

    with watch.expecting(page, "400"):
        send(page, hand, case_file(colour="red"), "Check only")
        expect(page.get_by_role("row", name="colour")).to_contain_text("This key is not known here")
    send(page, hand, case_file(), "Check only")
    expect(page.get_by_text("it could be published")).to_be_visible()
    assert not Draft.objects.exists()
    send(page, hand, case_file(), "Import as draft")
    expect(page.get_by_role("heading", level=1, name=f"Draft: {TITLE}")).to_be_visible()

    hand.press(page.get_by_role("link", name="Preview Look"))
    expect(page.get_by_role("heading", level=1, name=f"Look: {TITLE}")).to_be_visible()
    expect(page.get_by_text("Nothing you enter here is stored.")).to_be_visible()
    expect(page.locator("film-viewer").get_by_text("Film ready")).to_be_visible()
    expect(page.get_by_role("button", name="Expose", exact=True)).to_be_disabled()
    expect(page.get_by_role("button", name="Save", exact=True).first).to_be_disabled()
    hand.press(page.get_by_role("link", name="Preview Weigh"))
    expect(page.get_by_role("heading", level=1, name=f"Weigh: {TITLE}")).to_be_visible()
    hand.press(page.get_by_role("link", name="Read the key"))
    expect(page.get_by_text("Only those who teach see this page.")).to_be_visible()
    hand.press(page.get_by_role("link", name="The draft"))

    hand.press(page.get_by_role("link", name="Publish", exact=True))
    hand.press(page.get_by_role("button", name="Publish edition 1"))
    expect(page.get_by_text(f"Published: {SLUG}, edition 1.")).to_be_visible()
    expect(page.get_by_role("row", name=TITLE)).to_contain_text("open to work")
    assert Edition.objects.get(case__slug=SLUG).published_by == instructor
    assert not Draft.objects.exists()

    reader = new_page(student)
    reader.goto(reverse("cases"))
    reader.get_by_role("link", name=TITLE).click()
    reader.get_by_role("button", name="Start this case").click()
    expect(reader.get_by_role("heading", level=1, name=f"Look: {TITLE}")).to_be_visible()


def test_a_case_is_taken_out_and_put_back_by_keyboard(new_page, instructor, case):
    page = new_page(instructor)
    hand = Keyboard(page)
    page.goto(reverse("bank"))
    hand.press(page.get_by_role("button", name="Take out"))
    expect(page.get_by_text(f"{case.slug} is out of the bank.")).to_be_visible()
    assert not Case.objects.open_to_work().exists()
    hand.press(page.get_by_role("button", name="Put back"))
    expect(page.get_by_text(f"{case.slug} is in the bank again")).to_be_visible()
    assert Case.objects.open_to_work().get() == case


def test_without_script_a_case_is_imported_and_published(new_page, instructor):
    page = new_page(instructor, java_script_enabled=False)
    hand = Mouse(page)
    page.goto(reverse("bank"))
    send(page, hand, case_file(), "Import as draft")
    hand.press(page.get_by_role("link", name="Publish", exact=True))
    hand.press(page.get_by_role("button", name="Publish edition 1"))
    assert Edition.objects.filter(case__slug=SLUG).exists()
