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


def test_each_canal_has_its_drawings_and_their_figures_beside_them(settled, reader, address):
    page = reader.get(address("compare"))
    source, said = page.content.decode(), words_of(page)
    for canal in ("MB", "ML", "D"):
        assert f'<title id="section-{canal}-t">Canal {canal} in its root, after ' in source
        assert f'<title id="depths-{canal}-t">Depth reached by move in canal {canal}</title>' in source
        assert f'href="{address("canal-chart", canal)}?move=0"' in source
        assert f"Canal {canal} at the bench" in said
    assert said.count("Narrow width and walls, mm") == 3


def test_the_result_says_how_long_it_took_and_what_was_seen_but_not_weighed(settled, reader, address):
    said = words_of(reader.get(address("compare")))
    assert "minutes in the chair" in said
    assert "Seen at the bench, not weighed" in said
