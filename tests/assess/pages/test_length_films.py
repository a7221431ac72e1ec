"""A film with a file in place: its picture stands at the bench and shows the file where the move left it."""

from html import unescape
from io import BytesIO

import numpy as np
import pytest
from PIL import Image

from assess.log import Stage
from assess.presenting.benches import bench_of
from assess.presenting.length_films import filmed, rods_of
from tests.assess.pages.reading import words_of

pytestmark = pytest.mark.django_db
FILM = {"kind": "film_length", "canal": "D", "size": "15", "to_mm": "14", "stage": "shape"}


@pytest.fixture
def at_the_bench(work):
    work(Stage.OPEN)


@pytest.fixture
def taken(reader, address, at_the_bench):
    assert reader.post(address("move"), FILM).status_code == 303


def test_before_any_such_film_the_bench_says_how_one_is_taken(reader, address, at_the_bench):
    said = words_of(reader.get(address("shape")))
    assert "None yet. “Film the file at length” on the tray takes one." in said
    assert reader.get(address("length-picture", 1)).status_code == 404


def test_a_film_stands_at_the_bench_with_the_words_of_its_move(reader, address, attempt, taken):
    page = unescape(reader.get(address("shape")).content.decode())
    bench = bench_of(attempt.edition.sha256, attempt.edition.document, attempt.state())
    assert f'src="{address("length-picture", 1)}"' in page
    assert bench.record[0].felt.words in page
    assert "Move 1, canal D" in page


def test_the_picture_differs_from_the_plain_film_where_the_file_stands(reader, address, attempt, taken):
    plain, with_file = (
        np.asarray(Image.open(BytesIO(reader.get(url).content)), dtype=int)
        for url in (address("film-picture", 1), address("length-picture", 1))
    )
    brighter = (with_file - plain) > 12  # metal is bright
    assert plain.shape == with_file.shape
    # a file of size 15, 14 mm of it in the tooth and some above: well below a hundredth of the picture, and not nothing
    assert 0.0005 < brighter.mean() < 0.02


def test_the_file_stands_where_the_move_left_its_tip(attempt, reader, address, taken):
    document = attempt.edition.document
    step = filmed(bench_of(attempt.edition.sha256, document, attempt.state()))[1]
    (rod,) = rods_of(document, step)
    tooth = document.anatomy.tooth
    canal = tooth.canal("D")
    tip = document.anatomy.placement.to_jaw(canal.course.at(tooth.orifice_of(canal), np.array([step.reach.tip_mm])))[0]
    nearest = min(np.linalg.norm(rod.centre_line - tip, axis=1))
    assert nearest < 0.3


def test_a_move_that_took_no_film_has_no_picture(reader, address, at_the_bench):
    sent = {"kind": "gauge", "canal": "D", "size": "15", "to_mm": "14", "stage": "shape"}
    assert reader.post(address("move"), sent).status_code == 303
    assert reader.get(address("length-picture", 1)).status_code == 404


def test_only_a_filmed_move_has_a_file_to_show(attempt, reader, address, at_the_bench):
    reader.post(address("move"), {"kind": "gauge", "canal": "D", "size": "15", "to_mm": "14", "stage": "shape"})
    bench = bench_of(attempt.edition.sha256, attempt.edition.document, attempt.state())
    with pytest.raises(TypeError, match="move 1 took no film"):
        rods_of(attempt.edition.document, bench.record[0])
