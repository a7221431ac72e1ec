"""A director's whole way: a cohort, its roster, work that is set for it, and the table that comes of it."""

import re

import pytest
from django.utils import timezone
from playwright.sync_api import expect

from assess.actions import keep_worked
from assess.log import Committed, Stage, read_log
from assess.models import AssignedCase, Assignment, Mode
from casebank.models import Role, Seat, User
from tests.browser.hands import Keyboard, Mouse
from tests.browser.stored import SOUND, WEAK
from tests.factories import member

ROSTER = "account,cohort,role\n" + "".join(f"student{number:02},landing-4,\n" for number in range(1, 9))
SLUG, TITLE = "leaning-abutment", "Lower second molar"
OPENS, CLOSES = "2020-01-10T08:00", "2031-07-10T17:30"  # open now, and for years


@pytest.fixture
def director(case):
    return member(Role.DIRECTOR, username="director1")


def make_cohort(page, hand):
    hand.press(page.get_by_role("link", name="Cohorts", exact=True))
    hand.write(page.get_by_label("Name", exact=True), "Landing, year 4")
    hand.write(page.get_by_label("Short name"), "landing-4")
    hand.press(page.get_by_role("button", name="Make the cohort"))
    expect(page.get_by_role("heading", level=1, name="Landing, year 4")).to_be_visible()


def try_roster(page, hand):
    """The file is given by script: no hand reaches the window in which a system asks for one."""
    file = {"name": "roster.csv", "mimeType": "text/csv", "buffer": ROSTER.encode()}
    page.get_by_label("Roster, a CSV file in UTF-8").set_input_files(file)
    hand.press(page.get_by_role("button", name="Show what it would change"))


def set_work(page, hand, title, mode):
    """Times are given by script: how a date is typed depends on the language of the system."""
    hand.press(page.get_by_role("link", name="Set work"))
    hand.write(page.get_by_label("Title"), title)
    hand.pick(page.get_by_role("radio", name=re.compile(f"^{mode}")))
    hand.pick(page.get_by_role("radio", name=re.compile("^At once")))
    page.get_by_label("Opens", exact=True).fill(OPENS)
    page.get_by_label("Closes", exact=True).fill(CLOSES)
    hand.pick(page.get_by_role("checkbox", name=re.compile(TITLE)))
    hand.press(page.get_by_role("button", name="Set this work"))
    expect(page.get_by_text(f"“{title}” is set.")).to_be_visible()


def settle(title, sound, weak):
    """Attempts of the cohort's students: so many by the sound log of the molar, so many by the weak one."""
    assigned = AssignedCase.objects.get(assignment__title=title)
    logs = [SOUND] * sound + [WEAK] * weak
    students = User.objects.filter(memberships__seats__cohort=assigned.assignment.cohort).order_by("username")
    for student, log in zip(students, logs, strict=False):
        events = read_log(log, case=SLUG).events
        closing = Committed(seq=len(events) + 1, case=SLUG, stage=Stage.COMPARE)
        keep_worked(assigned=assigned, student=student, events=[*events, closing], seed=7, started_at=timezone.now())


@pytest.mark.parametrize("hand_of", [Mouse, Keyboard])
def test_a_director_fills_a_cohort_sets_work_and_reads_the_table(new_page, director, hand_of):
    page = new_page(director)
    hand = hand_of(page)
    page.goto("/home/")
    make_cohort(page, hand)

    hand.press(page.get_by_role("link", name="Fill it from a roster"))
    try_roster(page, hand)
    expect(page.get_by_role("heading", level=1, name="Roster: what would change")).to_be_visible()
    hand.press(page.locator("summary", has_text="8 new accounts"))
    expect(page.get_by_text("student01, student02").first).to_be_visible()
    assert not Seat.objects.exists()
    hand.press(page.get_by_role("button", name="Apply this roster"))
    expect(page.get_by_role("heading", level=1, name="Roster: what has changed")).to_be_visible()
    assert Seat.objects.filter(cohort__slug="landing-4").count() == 8
    try_roster(page, hand)
    expect(page.get_by_role("heading", name="There is nothing to change")).to_be_visible()
    expect(page.get_by_role("button", name="Apply this roster")).to_have_count(0)

    hand.press(page.get_by_role("link", name="Landing, year 4"))
    set_work(page, hand, "Spring work", "Graded")
    set_work(page, hand, "Tasters", "Practice")
    assert set(Assignment.objects.values_list("title", "mode")) == {
        ("Spring work", Mode.GRADED),
        ("Tasters", Mode.PRACTICE),
    }

    settle("Spring work", sound=4, weak=2)
    settle("Tasters", sound=6, weak=0)
    page.reload()
    expect(page.get_by_text("6 of 8")).to_have_count(2)
    hand.press(page.get_by_role("link", name=re.compile("^Table.*Spring work")))
    # The weak log treats alone what is keyed for referral. 4 of 6 agree; Wilson: 5.9207 / 9.8415 = 0.602, each side
    # 1.96 / 9.8415 * sqrt(4 * 2 / 6 + 0.9604) = 0.302.
    row = page.get_by_role("row", name=re.compile("^Treat or refer 6"))
    expect(row.get_by_role("cell")).to_have_text(["6 few", "67 %", "30 to 90 %", "", "0", "2", "0", "0"])
    expect(page.get_by_role("row", name=re.compile("^Needle bound"))).to_contain_text("2 of 6")
    hand.press(page.get_by_role("link", name=re.compile("^Back to")))
    hand.press(page.get_by_role("link", name=re.compile("^Table.*Tasters")))
    expect(page.get_by_text("The table of this practice opens when it closes")).to_be_visible()
    expect(page.get_by_role("table")).to_have_count(0)


def test_the_lowest_agreement_and_the_sheet_are_a_press_away(new_page, director, tmp_path):
    page = new_page(director)
    hand = Mouse(page)
    page.goto("/home/")
    make_cohort(page, hand)
    hand.press(page.get_by_role("link", name="Fill it from a roster"))
    try_roster(page, hand)
    hand.press(page.get_by_role("button", name="Apply this roster"))
    hand.press(page.get_by_role("link", name="Landing, year 4"))
    set_work(page, hand, "Spring work", "Graded")
    settle("Spring work", sound=4, weak=2)
    hand.press(page.get_by_role("link", name=re.compile("^Table.*Spring work")))
    page.get_by_label("Stage").select_option("look")
    page.get_by_label("Order").select_option("lowest")
    hand.press(page.get_by_role("button", name="Show", exact=True))
    shares = [int(text.removesuffix(" %")) for text in page.locator('td[data-h="agree"]').all_inner_texts()]
    assert shares == sorted(shares)
    assert shares[0] < 100
    with page.expect_download() as download:
        page.get_by_role("link", name="As a CSV file").click()
    assert download.value.suggested_filename == "landing-4-graded.csv"
    kept = tmp_path / "table.csv"
    download.value.save_as(kept)
    assert [line.split(",")[7] for line in kept.read_text(encoding="utf-8-sig").splitlines()[1 : len(shares) + 1]] == [
        str(share) for share in shares
    ]
