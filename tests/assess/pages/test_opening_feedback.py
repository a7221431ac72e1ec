"""What a student's opening came to, on Compare and nowhere before; and the usual one for those who teach."""

import re

import numpy as np
import pytest
from django.urls import reverse

from assess.presenting.opening_feedback import opening_feedback
from casebank.casefile import read_document
from tests.assess.pages.reading import PERCENTS, words_of
from tests.factories import FIXTURES, DraftFactory, EditionFactory, leaning_abutment
from tests.test_secrecy import who_imports

pytestmark = pytest.mark.django_db


def scaled(by, right=0.0):
    """The usual outline about its own middle, as lines of text."""
    points = np.array(leaning_abutment()[1].opening.outline_mm)
    middle = points.mean(axis=0)
    return "\n".join(f"{x:.2f} {y:.2f}" for x, y in (middle + by * (points - middle) + [right, 0]).tolist())


RIGHT, SMALL, GOUGE = scaled(1.0), scaled(0.5), scaled(1.25, right=1.0)
MARKS = "-1.6 -1.5\n0 2.4"  # the first near canal ML, the second near none


@pytest.fixture
def compare(reader, address):
    """The Compare page of an attempt in which nothing was answered but what is sent here."""

    def compare(outline=None, orifices="", settle=True, **choices):
        for stage in ("look", "weigh"):
            reader.post(address("commit", stage))
        for task, values in choices.items():
            name = "value" if task == "chamber_depth" else "values"
            sent = {"task": task.replace("_", "-"), name: values, "confidence": "sure", "key": task}
            assert reader.post(address("answer"), sent).status_code == 303
        if outline:
            sent = {"task": "outline", "outline": outline, "orifices": orifices, "confidence": "sure", "key": "one"}
            assert reader.post(address("answer"), sent).status_code == 303
        for stage in ("open", "shape", "fill"):
            assert reader.post(address("commit", stage)).status_code == 303
        if settle:
            assert reader.post(address("self-grade"), PERCENTS).status_code == 303
        return reader.get(address("compare"))

    return compare


@pytest.mark.parametrize(
    ("outline", "short", "sentence"),
    [
        (SMALL, "too small", "Canal MB: no straight shaft reaches it; the mesiobuccal wall stands"),
        (RIGHT, "right", "The bur came into the chamber, whose roof begins"),
        (GOUGE, "gouged", "it is as good as perforated"),
    ],
)
def test_three_openings_are_three_verdicts_with_place_size_and_reason(compare, outline, short, sentence):
    page = compare(outline)
    said = words_of(page)
    assert f"In short: this opening is {short} . The usual one of this tooth: right." in said
    assert sentence in said
    body = page.content.decode()
    assert "map-cut-own" in body
    assert "map-cut-usual" in body
    assert "map-chamber" in body
    opening = page.context["opening"]
    pins = {int(number) for number in re.findall(r"map-pin-number[^>]*>(\d+)<", body)}
    assert pins == {one.number for one in opening.found if one.at_mm}
    assert all(one.size and one.level and one.reason for one in opening.found)


def test_what_the_usual_opening_costs_too_is_said_so(compare):
    opening = compare(RIGHT).context["opening"]
    weighing = [one for one in opening.found if one.weighs]
    assert weighing
    assert all(one.usual_too for one in weighing)


def test_the_line_is_no_finding_of_the_outline(compare):
    assert not any("drifts" in one.reason for one in compare(RIGHT).context["opening"].found)


def test_volumes_walls_and_canals_stand_beside_the_usual_ones(compare):
    opening = compare(RIGHT).context["opening"]
    assert all(row.own == row.usual for row in (*opening.figures, *opening.canals))
    names = [row.name for row in opening.figures]
    assert names[:3] == ["Needed for the way to the canals", "Removed of what was needed", "Removed beyond need"]
    assert [row.name for row in opening.canals] == ["MB", "ML", "D"]


def test_every_figure_of_the_map_stands_in_words_and_the_map_is_named(compare):
    page = compare(SMALL)
    body = page.content.decode()
    map_of = body[body.index('<svg xmlns="http://www.w3.org/2000/svg" class="tooth-map"') :]
    assert 'aria-labelledby="map-inner-37-title map-inner-37-desc"' in map_of[:400]
    assert "Gunday, Sazak and Garip, J Endod 2005;31:796-798" in words_of(page)
    assert "not reached by a straight shaft" in words_of(page)


def test_marks_are_matched_told_by_letter_and_held_against_the_laws(compare):
    page = compare(RIGHT, MARKS)
    said = words_of(page)
    opening = page.context["opening"]
    marked = {one.canal: one.mark for one in opening.orifices}
    assert marked["MB"] == marked["D"] == "not marked"
    assert re.fullmatch(r"mark a, 0\.\d mm off", marked["ML"])
    assert "No orifice lies at: mark b." in said
    assert "Krasner and Rankow, J Endod 2004;30:5-16" in said
    assert "Marks are not graded." in said


def test_as_drilled_puts_line_depth_and_outline_together_and_counts_for_nothing(compare):
    page = compare(RIGHT, axis="roots", chamber_depth="8.3", prosthesis="remove")
    cut = page.context["opening"].drilled
    assert (cut.line, cut.depth, cut.prosthesis) == (
        "along the roots",
        "8.3 mm below the reference cusp or edge",
        "the bridge taken off first",
    )
    # the bridge leans 24° distally and 4° lingually off the roots
    assert (cut.crown, cut.bur, cut.apart[:3]) == ("24°", "0°", "24°")
    assert "no part of it counts" in words_of(page)
    assert page.context["opening"].in_short == "right"


def test_with_no_line_and_no_depth_it_is_that_of_the_usual_opening_and_says_so(compare):
    cut = compare(RIGHT).context["opening"].drilled
    assert "no line was answered" in cut.line
    assert "no depth was answered" in cut.depth
    assert cut.in_short == "right"


def test_a_depth_no_bur_stops_at_is_said_and_breaks_nothing(compare):
    cut = compare(RIGHT, axis="crown", chamber_depth="60").context["opening"].drilled
    assert cut.trouble.startswith("60 mm is no depth at which a bur stops in this crown")
    assert cut.in_short == ""


def test_without_an_outline_the_usual_one_stands_alone_with_its_figures(compare):
    page = compare()
    said = words_of(page)
    assert "No outline was drawn. This is the usual opening of this tooth." in said
    opening = page.context["opening"]
    assert not opening.drawn
    assert all(row.own == () for row in (*opening.figures, *opening.canals))
    assert opening.drilled is None
    assert "map-cut-own" not in page.content.decode()


def test_before_the_result_nothing_of_it_is_anywhere(compare, reader, address):
    page = compare(RIGHT, settle=False)
    for answer in (page, *(reader.get(address(stage)) for stage in ("look", "open", "fill"))):
        body = answer.content.decode()
        assert not any(name in body for name in ("map-inner", "map-chamber", "map-cut-usual", "opening-key"))
        assert "opening" not in answer.context


def test_the_key_and_the_preview_show_it_to_those_who_teach(client, instructor):
    client.force_login(instructor)
    draft, edition = DraftFactory(), EditionFactory()
    key, preview = reverse("draft-key", args=[draft.public_id]), reverse("preview", args=[draft.public_id, "open"])
    for address in (key, preview, reverse("case-key", args=[edition.case.slug])):
        page = client.get(address)
        assert page.status_code == 200
        assert "By its own verdict the usual opening is right ." in words_of(page)
        assert "map-cut-usual" in page.content.decode()
    other = client.get(reverse("preview", args=[draft.public_id, "look"]))
    assert "map-inner" not in other.content.decode()


def test_only_named_modules_of_the_pages_look_at_an_opening():
    rooms = ("presenting", "views", "forms", "actions")
    inside = {"chamber_map", "drilled", "opened", "usual_access", "usual_plan_of", "judge_access"}
    assert who_imports(inside, *rooms) == {"opening_feedback", "drilling"}
    assert who_imports({"drilling"}, *rooms) == {"opening_feedback"}
    assert who_imports({"opening_feedback"}, *rooms) == {"stages", "keying", "preview"}


def test_a_rubric_that_asks_for_no_outline_has_none():
    document = read_document(FIXTURES / "cases" / "leaning-abutment.case.json")
    assert opening_feedback(document.model_copy(update={"rubric": "treatment-path"})) is None
