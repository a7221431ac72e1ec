"""Compare: the own estimate first, then what it came to, and why."""

import json
import re
from html import unescape

from django.urls import reverse

from assess import actions
from assess.grading import grade
from assess.log import Stage
from casebank.rubric import bundled
from tests.assess.pages.reading import OWN_MARKS, PERCENTS, words_of
from tests.factories import NOON, AttemptFactory, EditionFactory, leaning_abutment


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
    # Weights of the path by stage are 23, 12, 26, 28 and 11; estimates 80, 90, 80, 85 and 80: 82.6 together.
    assert f"agree with the rubric for {percent:.0f} % of its weight; you expected 83 %" in words_of(
        reader.get(address("compare"))
    )


def test_unsafe_steps_come_first_and_each_task_has_its_four_parts(reader, address, work, attempt):
    work(Stage.WEIGH)
    reader.post(address("answer"), {"task": "rubber-dam", "values": "none", "confidence": "sure"})
    for stage in ("open", "shape", "fill"):
        reader.post(address("commit", stage))
    reader.post(address("self-grade"), PERCENTS)
    reader.post(address("mark-own"), OWN_MARKS)
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


def test_the_result_says_how_long_it_took(settled, reader, address):
    said = words_of(reader.get(address("compare")))
    assert "minutes in the chair" in said
    assert "Seen at the bench, not weighed" not in said


def test_what_an_older_rubric_does_not_weigh_is_said_apart(reader, student):
    case, known = json.loads(leaning_abutment()[0]), {one.id for one in bundled("treatment-path").criteria}
    case |= {"rubric": "treatment-path", "choices": {one: key for one, key in case["choices"].items() if one in known}}
    older = AttemptFactory(student=student, edition=EditionFactory(content=json.dumps(case), number=2))
    doing = {"attempt": older, "by": student, "now": NOON}
    for stage in PERCENTS:
        if stage == "shape":
            move = {"kind": "read_length", "size": 10}
            actions.record(event="moved", fields={"canal": "MB", "move": move}, **doing)
        actions.commit_stage(stage=Stage(stage), **doing)
    actions.self_grade(percents=PERCENTS, **doing)
    said = words_of(reader.get(reverse("compare", args=[older.public_id])))
    assert "Seen at the bench, not weighed" in said
    assert "On axes of their own" not in said
    assert "Treat or refer 0 of 12" in said  # on the path in that version
