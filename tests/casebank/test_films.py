"""Films on disk: rendered once, whoever asks and however many ask at once."""

from concurrent.futures import ThreadPoolExecutor
from dataclasses import replace

import pytest

from casebank import films
from casebank.radiograph import Receptor, View, rod_in_canal
from tests.teeth import lower_molar

SMALL = Receptor.of_pixels(96, 72)


@pytest.fixture
def renders(settings, tmp_path, monkeypatch):
    """How often a film was rendered, in a folder of its own."""
    settings.DATA_DIR = tmp_path
    made = []
    render = films.take

    def counted(*args, **kwargs):
        made.append(kwargs["view"])
        return render(*args, **kwargs)

    monkeypatch.setattr(films, "take", counted)
    return made


def test_a_film_is_rendered_once(renders):
    first = films.film_png(lower_molar(), View(), SMALL)
    assert films.film_png(lower_molar(), View(), SMALL) == first
    assert len(renders) == 1


def test_many_who_ask_at_once_share_one_rendering(renders):
    with ThreadPoolExecutor(8) as pool:
        asked = [pool.submit(films.film_png, lower_molar(), View(), SMALL) for _ in range(8)]
        pictures = {future.result() for future in asked}
    assert len(pictures) == 1
    assert len(renders) == 1


def test_whatever_decides_the_pixels_decides_the_name():
    molar = lower_molar()
    names = {
        films.film_key(molar, View(), SMALL),
        films.film_key(molar, View(horizontal_deg=20.0), SMALL),
        films.film_key(molar, View(), Receptor.of_pixels(100, 75)),
        films.film_key(replace(molar, lesions=()), View(), SMALL),
        *(films.film_key(molar, View(), SMALL, (rod_in_canal(molar, "MB", [0.2, 0.5], short),)) for short in (0.5, 1)),
    }
    assert len(names) == 6


def test_a_name_gives_nothing_of_the_case_away(renders, tmp_path):
    films.film_png(lower_molar(), View(), SMALL)
    assert all(len(path.stem) == 64 for path in (tmp_path / "films").iterdir())


def test_for_the_wait_there_is_a_quick_picture_that_is_not_kept_and_then_the_film(renders):
    wanted = lower_molar(), View(), Receptor.of_pixels(200, 150)
    quick = films.quick_film_png(*wanted)
    assert not films.film_is_kept(*wanted)
    whole = films.film_png(*wanted)
    assert films.film_is_kept(*wanted)
    assert quick != whole
    assert films.quick_film_png(*wanted) == whole
    assert len(renders) == 2
