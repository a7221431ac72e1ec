"""Compare: the own estimate first, then what it came to, and why."""

import json
import re
from html import unescape

from assess.grading import grade
from assess.log import Stage
from tests.assess.pages.reading import PERCENTS, words_of


def test_the_own_estimate_comes_before_any_result(reader, address, work):
    work(Stage.FILL)
    page = words_of(reader.get(address("compare")))
    assert "Say first how well you think you did" in page
    assert "Agreement by stage" not in page
    missing = reader.post(address("self-grade"), PERCENTS | {"fill": "101"})
    assert missing.status_code == 400
    assert "Give a whole number from 0 to 100." in words_of(missing)


def test_the_result_is_that_of_the_log(settled, reader, address, attempt):
    percent = grade(attempt.edition.document, attempt.log()).percent
    assert f"agree with the rubric for {percent:.0f} % of its weight; you expected 84 %" in words_of(
        reader.get(address("compare"))
    )


def test_unsafe_steps_come_first_and_each_task_has_its_four_parts(reader, address, work, attempt):
    work(Stage.WEIGH)
    reader.post(address("answer"), {"task": "rubber-dam", "values": "none", "confidence": "sure"})
    for stage in ("open", "shape", "fill"):
        reader.post(address("commit", stage))
    reader.post(address("self-grade"), PERCENTS)
    page = words_of(reader.get(address("compare")))
    assert "Unsafe steps: one" in page
    assert page.index("No rubber dam: instruments and irrigant would meet the airway.") < page.index(
        "Agreement by stage"
    )
    task = page[page.index("Rubber dam 0 of 2") :]
    places = [task.index(part) for part in ("You said", "Reference", "Why", "Next time:", "Working and source")]
    assert places == sorted(places)


def test_the_reference_is_drawn_on_the_film_the_answer_was_read_on(settled, reader, address):
    page = unescape(reader.get(address("compare")).content.decode())
    drawn = [json.loads(found) for found in re.findall(r'data-reference="(\[.*?\])"', page)]
    angle, point = sorted((marks[0] for marks in drawn), key=lambda mark: mark["kind"])
    assert (angle["kind"], len(angle["points"])) == ("angle", 3)
    assert (point["kind"], len(point["points"])) == ("point", 1)


def test_each_canal_has_a_drawing_and_its_figures_beside_it(settled, reader, address):
    page = words_of(reader.get(address("compare")))
    for canal in ("MB", "ML", "D"):
        picture = reader.get(address("canal-picture", canal))
        assert picture["Content-Type"] == "image/svg+xml"
        assert f"<title>Canal {canal}: width over depth" in picture.content.decode()
        assert f"Canal {canal} at the bench" in page
    assert reader.get(address("canal-picture", "XX")).status_code == 404
