"""Drawing an opening: what is stored of it, how it is said, and every outline that is refused in one sentence."""

import pytest

from assess.log import Stage
from assess.presenting.outlining import as_lines
from tests.assess.pages.reading import words_of

pytestmark = pytest.mark.django_db
SQUARE = "-2 -2\n2 -2\n2 2\n-2 2"
RING = "\n".join(f"{n / 100} {abs(n - 100) / 100}" for n in range(201))


@pytest.fixture
def draw(reader, address):
    """Sends an outline from the stage Open, which is reached with nothing answered."""
    for stage in ("look", "weigh"):
        assert reader.post(address("commit", stage)).status_code == 303

    def draw(outline, orifices="", **sending):
        sent = {"task": "outline", "outline": outline, "orifices": orifices, "confidence": "sure", "key": "one"}
        return reader.post(address("answer"), sent, **sending)

    return draw


def drawn(attempt):
    return attempt.state().answers.get("outline")


def test_an_outline_is_stored_as_places_in_millimetres(draw, attempt, address):
    answer = draw(SQUARE, "1.5, -0.25\n\n -1;0 ")
    assert (answer.status_code, answer.url) == (303, f"{address('open')}#q-outline")
    said = drawn(attempt)
    assert said.outline_mm == ((-2, -2), (2, -2), (2, 2), (-2, 2))
    assert said.orifices_mm == ((1.5, -0.25), (-1, 0))
    assert (said.stage, said.confidence) == (Stage.OPEN, "sure")


def test_it_comes_back_as_it_was_typed_and_drawn(draw, reader, address):
    draw(SQUARE, "1.5 -0.25")
    page = reader.get(address("open"))
    body = page.content.decode()
    assert f">{SQUARE}</textarea>" in body
    assert ">1.5 -0.25</textarea>" in body
    assert 'd="M-2.00 -2.00L2.00 -2.00L2.00 2.00L-2.00 2.00Z"' in body
    assert "Answered" in words_of(page)


def test_once_committed_it_is_said_in_words_and_shown(draw, reader, address):
    draw(SQUARE, "1.5 -0.25")
    reader.post(address("commit", "open"))
    page = reader.get(address("open"))
    # 4 mm by 4 mm
    assert "4 points round 16.0 mm², 1 orifice expected" in words_of(page)
    assert "map-cut-own" in page.content.decode()
    assert "<textarea" not in page.content.decode()


def test_without_one_the_committed_stage_says_so_and_shows_no_map(reader, address, draw):
    reader.post(address("commit", "open"))
    page = reader.get(address("open"))
    assert "No answer." in words_of(page)
    assert "map-cut" not in page.content.decode()


@pytest.mark.parametrize(
    ("outline", "orifices", "sentence"),
    [
        ("", "", "Draw the outline, or give its points as numbers, one a line."),
        ("0 0\n2 2\n2 0\n0 2", "", "The outline crosses itself between points 1 and 2 and points 3 and 4"),
        ("0 0\n1 1", "", "The outline has 2 different points: give 3 at least."),
        ("0 0\n1 1\n1 1\n0 0", "", "The outline has 2 different points: give 3 at least."),
        ("0 0\n0.1 0\n0 0.1", "", "next to nothing"),
        (RING, "", "The outline has 201 points: draw it with 200 at most."),
        ("x" * 6001, "", "An outline has at most 200 points."),
        ("0 0\nnan 1\n1 1", "", "Line 2 is no place on the crown: give two numbers"),
        ("0 0\ninf 1\n1 1", "", "Line 2 is no place"),
        ("0 0\n1 1\n12.5 0", "", "Line 3 is no place"),
        ("0 0\n1 1\nleft a bit", "", "Line 3 is no place"),
        ("0 0\n1 1\n1 2 3", "", "Line 3 is no place"),
        ("0 0\n7 0\n0 2", "", "Point 2 of the outline, 7.0 mm right and 0.0 mm down, lies off the crown"),
        (SQUARE, "0 0\nhere", "Line 2 is no place on the crown"),
        (SQUARE, "\n".join(f"0 {n / 10}" for n in range(13)), "Mark at most 12 orifices."),
    ],
    ids=lambda value: value[:12] if isinstance(value, str) else "",
)
def test_what_is_no_outline_is_refused_in_words_and_not_stored(draw, attempt, outline, orifices, sentence):
    answer = draw(outline, orifices)
    assert answer.status_code == 400
    assert sentence in words_of(answer)
    assert 'id="q-outline-trouble"' in answer.content.decode()
    assert drawn(attempt) is None


def test_a_refused_outline_by_script_is_one_sentence(draw, attempt):
    answer = draw("0 0\n2 2\n2 0\n0 2", headers={"Accept": "application/json"})
    assert answer.status_code == 400
    assert answer.json()["refused"].startswith("The outline crosses itself between points 1 and 2")
    assert drawn(attempt) is None


def test_nothing_of_the_inside_is_in_the_page_or_in_a_refusal(draw, reader, address):
    draw(SQUARE)
    for answer in (reader.get(address("open")), draw("0 0\n7 0\n0 2")):
        body = answer.content.decode()
        assert "map-outer-37" in body
        for inner in ("map-inner", "map-chamber", "map-orifice", "map-roof", "map-cut-usual", "map-pin", "opening-key"):
            assert inner not in body


def test_an_outline_is_taken_in_its_own_stage_alone(reader, address, attempt):
    sent = {"task": "outline", "outline": SQUARE, "orifices": "", "confidence": "sure", "key": "one"}
    assert reader.post(address("answer"), sent).status_code in (400, 409)
    assert drawn(attempt) is None


def test_from_where_places_are_counted_is_said(reader, address, draw):
    assert "right and down of the crown's middle" in words_of(reader.get(address("open")))


def test_places_go_to_lines_and_back():
    assert as_lines([(1.0, -2.25), (0.0, 3.5)]) == "1 -2.25\n0 3.5"
