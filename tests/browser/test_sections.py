"""Sections of a limited volume: leafed through by keyboard and by taps, without a reload, and usable by everybody."""

import re

import pytest
from django.urls import reverse
from playwright.sync_api import expect

from assess.log import Stage
from tests.browser.stored import begin, record
from tests.browser.test_access import troubles

PHONE = {"width": 390, "height": 844}


@pytest.fixture
def address(student):
    attempt = begin(student)
    record(attempt, "volume", reason="decay", hoped="a hollow under the crown")
    return reverse("volume", args=[attempt.public_id])


def place(page, plane):
    return page.locator(f'[data-plane="{plane}"] [data-part="words"]')


def test_the_request_can_be_used(new_page, student):
    assert troubles(new_page(student), reverse("volume", args=[begin(student).public_id])) == []


def test_the_sections_can_be_used(new_page, student, address):
    assert troubles(new_page(student), address) == []


def test_arrows_on_a_slider_move_the_plane_its_picture_and_its_lines(new_page, student, address):
    page = new_page(student)
    page.goto(f"{address}?axial=-3.0&coronal=0&sagittal=0")
    page.evaluate("() => { window.stayed = true; }")
    line = page.locator('[data-plane="coronal"] line[data-of="axial"]')
    before = float(line.get_attribute("y1"))
    page.get_by_role("slider", name="Axial plane, mm").focus()
    with page.expect_response(re.compile(r"/sections/axial\.png\?at=-2\.4")):
        page.keyboard.press("ArrowRight")
        page.keyboard.press("ArrowRight")
    expect(place(page, "axial")).to_have_text("2.4 mm apical of the neck")
    # 0.6 mm of 40 are 1.5 hundredths, upwards for a lower tooth
    assert float(line.get_attribute("y1")) == pytest.approx(before - 1.5, abs=0.02)
    expect(page).to_have_url(re.compile(r"axial=-2\.4"))
    assert page.evaluate("() => window.stayed")


def test_taps_alone_reach_every_place_on_a_phone(new_page, student, address):
    page = new_page(student, viewport=PHONE, has_touch=True)
    page.goto(f"{address}?axial=-0.3&coronal=0&sagittal=0")
    plus = page.get_by_role("button", name="Axial: one step occlusal of the neck")
    plus.tap()
    expect(place(page, "axial")).to_have_text("at the neck")
    plus.tap()
    expect(place(page, "axial")).to_have_text("0.3 mm occlusal of the neck")
    with page.expect_response(re.compile(r"thick=1\.5")):
        page.get_by_label("1.5 mm").tap()


def test_without_script_the_form_shows_the_places(new_page, student, address):
    page = new_page(student, java_script_enabled=False)
    page.goto(address)
    slider = page.get_by_role("slider", name="Sagittal plane, mm")
    slider.focus()
    page.keyboard.press("Home")
    page.get_by_role("button", name="Show these places").click()
    expect(place(page, "sagittal")).to_contain_text("19.8 mm buccal of the middle")  # along the arch in a back tooth


def test_a_film_just_taken_shows_quickly_and_then_whole(new_page, student):
    attempt = begin(student)
    record(attempt, "film", stage=Stage.LOOK, vertical_deg=15.0, reason="to lift the metal off")
    page = new_page(student)
    asked = []
    page.on("request", lambda request: asked.append(request.url) if "/films/2.png" in request.url else None)
    page.goto(f"{reverse('look', args=[attempt.public_id])}?film=2")
    expect(page.locator("film-viewer")).to_have_attribute("data-arrived", "whole")
    assert [url.partition("?")[2] for url in asked][:2] == ["quick", ""]
    expect(page.locator(".v-stage > img")).not_to_have_attribute("data-whole", re.compile(".*"))
