"""The chart of a canal on its page: each step at an address of its own, and none before the case is settled."""

import re

import pytest

from assess.actions import commit_stage, self_grade
from assess.log import Stage
from assess.presenting.benches import bench_of
from tests.assess.pages.reading import PERCENTS, words_of


@pytest.fixture
def record(attempt):
    """What the sound log did in canal MB."""

    def record(canal="MB"):
        return bench_of(attempt.edition.sha256, attempt.edition.document, attempt.state()).record_of(canal)

    return record


@pytest.fixture
def chart(reader, address):
    return lambda canal="MB", **query: reader.get(address("canal-chart", canal), query)


@pytest.mark.parametrize("stage", [Stage.LOOK, Stage.SHAPE, Stage.FILL])
def test_there_is_no_chart_before_the_case_is_settled(chart, work, stage):
    work(stage)
    for canal, query in (("MB", {}), ("MB", {"move": 3}), ("XX", {})):
        refused = chart(canal, **query)
        assert refused.status_code == 409
        said = words_of(refused)
        assert "Charts are drawn once the case is committed and you have graded yourself." in said
        assert "the tip stood" not in said.lower()


def test_each_move_says_what_was_done_felt_and_true(settled, chart, record):
    for place, step in enumerate(record().steps, 1):
        said = words_of(chart(move=step.number))
        assert f"Move {step.number}, {place} of {len(record().steps)}" in said
        assert f"What you felt {step.felt.words} What was so" in said
        assert f"The canal after move {step.number}" in said


def test_the_first_step_is_before_any_move_and_the_last_is_shown_if_none_is_asked_for(settled, chart, record):
    assert "Before any move The canal as it came, dry and untouched." in words_of(chart(move=0))
    last = record().steps[-1].number
    assert f"The canal after move {last}" in words_of(chart())


def test_links_lead_from_each_move_to_its_neighbours_in_this_canal(settled, chart, record):
    numbers = [0, *(step.number for step in record("ML").steps)]
    walked, number = [0], 0
    while True:
        page = chart("ML", move=number).content.decode()
        ahead = re.search(r'data-go="1" role="link" href="\?move=(\d+)#chart-control"', page)
        if not ahead:
            break
        number = int(ahead[1])
        walked.append(number)
    assert walked == numbers
    back = re.search(r'data-go="-1" role="link" href="\?move=(\d+)#', page)
    assert int(back[1]) == numbers[-2]
    first = chart("ML", move=0).content.decode()
    assert 'data-go="-1" role="link" aria-disabled="true"' in first


def test_the_number_of_a_move_elsewhere_gives_the_canal_as_it_stood_then(settled, chart, record):
    of_ml = record("ML").steps
    assert of_ml[0].number > record("MB").steps[-2].number, "the sound log works MB before ML"
    assert "The canal before any move" in words_of(chart("ML", move=of_ml[0].number - 1))


def test_a_place_among_the_moves_can_be_asked_for_as_the_form_without_script_does(settled, chart, record):
    steps = record().steps
    assert f"The canal after move {steps[4].number}" in words_of(chart(place=5))
    assert f"The canal after move {steps[-1].number}" in words_of(chart(place=len(steps) + 7))


@pytest.mark.parametrize("asked", ["", "x", "-1", "1.5", "9" * 400, "\u0663", "\0"])
def test_a_step_of_nonsense_gives_the_last(settled, chart, record, asked):
    page = chart(move=asked)
    assert page.status_code == 200
    assert f"The canal after move {record().steps[-1].number}" in words_of(page)


def test_the_page_is_built_as_every_other(settled, chart):
    for query in ({}, {"move": 0}, {"move": 6}):
        content = chart(**query).content.decode()
        assert len(re.findall("<h1[ >]", content)) == 1
        assert not re.search(r"<style|\sstyle=|\son\w+=|<script(?![^>]*\bsrc=)", content)
        identifiers = re.findall(r'\sid="([^"]+)"', content)
        assert len(identifiers) == len(set(identifiers))
        named = set(re.findall(r'aria-(?:labelledby|describedby)="([^"]+)"', content))
        assert {one for names in named for one in names.split()} <= set(identifiers)


def test_both_tables_have_a_row_for_each_millimetre_and_each_move(settled, chart, record):
    content = chart().content.decode()
    widths, moves = re.findall(r"<tbody>(.*?)</tbody>", content, re.DOTALL)
    assert moves.count("<tr>") == len(record().steps)
    assert widths.count("<tr>") == int(record().shape.length_mm) + 2  # 0, 1, 2 ... and the foramen
    assert [int(number) for number in re.findall(r"\?move=(\d+)#chart-control", moves)] == [
        step.number for step in record().steps
    ]


def test_a_canal_without_moves_is_drawn_as_it_came(reader, attempt, student, noon, chart):
    for stage in Stage:
        if stage is not Stage.COMPARE:
            commit_stage(attempt=attempt, stage=stage, by=student, now=noon)
    self_grade(attempt=attempt, percents=PERCENTS, by=student, now=noon)
    page = chart("D")
    said = words_of(page)
    assert "The canal as it came" in said
    assert "No moves in this canal." in said
    assert "Prepared end" not in said
    assert "chart-control" not in re.sub(r"#chart-control", "", page.content.decode())
    assert page.content.decode().count('<svg class="canal-chart"') == 1


def test_a_canal_that_is_not_there_has_no_chart(settled, chart):
    assert chart("XX").status_code == 404
