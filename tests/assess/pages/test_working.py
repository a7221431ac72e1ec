"""Working a case: what is sent is stored once, comes back to its place and is said in words."""

import re

import pytest
from django.urls import reverse

from assess.log import Stage
from tests.assess.pages.reading import MOVE, STAGES, words_of
from tests.factories import AttemptFactory


def test_nothing_is_answered_for_the_student(reader, address, work):
    for stage in STAGES[:-1]:
        page = reader.get(address(stage)).content.decode()
        form = page[page.index("<main") : page.index("</main>")]
        chosen = [tag for tag in re.findall(r"<input[^>]*\bchecked\b[^>]*>", form) if 'data-part="letters"' not in tag]
        assert chosen == [], stage
        reader.post(address("commit", stage))


def test_a_further_film_needs_a_reason(reader, address, attempt):
    refused = reader.post(address("film"), {"tube": "mesial-20", "reason": " "})
    assert refused.status_code == 400
    assert "Write the question first" in words_of(refused)
    taken = reader.post(address("film"), {"tube": "distal-20", "reason": "Part the mesial canals"})
    assert taken.url == f"{address('look')}?film=2#film"
    assert attempt.state().films[0].horizontal_deg == -20
    assert "tube moved 20° distally" in words_of(reader.get(address("look")))


def test_an_answer_comes_back_to_its_place_and_stands_there(reader, address, attempt):
    sent = {"task": "pulpal-diagnosis", "values": "pulp necrosis", "confidence": "sure", "key": "one"}
    first, again = (reader.post(address("answer"), sent) for _ in range(2))
    assert first.status_code == again.status_code == 303
    assert first.url == f"{address('look')}#q-pulpal-diagnosis"
    assert attempt.events.count() == 1
    assert re.search(r'value="pulp necrosis" checked', reader.get(address("look")).content.decode())


def test_an_answer_sent_by_script_gets_a_short_word(reader, address, attempt):
    by_script = {"Accept": "application/json"}
    saved = reader.post(address("answer"), {"task": "canal-count", "value": "3"}, headers=by_script)
    assert (saved.status_code, saved.content) == (204, b"")
    refused = reader.post(address("answer"), {"task": "canal-count", "value": "many"}, headers=by_script)
    assert refused.status_code == 400
    assert refused.json() == {"refused": "Give a number, with a point before the decimals."}
    assert attempt.events.count() == 1


def test_a_wrong_answer_is_said_at_its_question_and_nothing_is_stored(reader, address, attempt):
    response = reader.post(address("answer"), {"task": "curvature", "value": "17"})
    assert response.status_code == 400
    assert "Say which canal you measured." in words_of(response)
    assert 'id="q-curvature-trouble"' in response.content.decode()
    assert attempt.events.count() == 0


def test_a_mark_is_stored_in_film_pixels(reader, address, attempt):
    mark = {"task": "apex-mark", "film": 1, "x1": "14.15", "y1": "28.3", "confidence": "unsure"}
    assert reader.post(address("answer"), mark).status_code == 303
    # 14.15 mm and 28.3 mm at 0.0283 mm a pixel: 500 and 1000
    assert attempt.state().answers["apex-mark"].points_px[0] == pytest.approx((500.0, 1000.0))
    off = reader.post(address("answer"), mark | {"x1": "99"})
    assert off.status_code == 400
    assert "A mark lies on the film" in words_of(off)


def test_the_order_of_what_carries_the_diagnosis_is_the_attempts_own(client, student):
    client.force_login(student)
    orders = set()
    for seed in (1, 2, 3):
        attempt = AttemptFactory(student=student, seed=seed)
        page = client.get(reverse("look", args=[attempt.public_id])).content.decode()
        proof = page[page.index('id="q-proof"') : page.index('id="q-further-view"')]
        orders.add(tuple(re.findall(r'name="values" value="([^"]+)"', proof)))
    assert {frozenset(order) for order in orders} == {frozenset({"a", "b", "l", "film 1"})}
    assert len(orders) > 1


def test_a_level_goes_on_to_the_next_factor(reader, address, work, attempt):
    work(Stage.LOOK)
    level = {"task": "difficulty-levels.health", "level": "1", "evidence": ["l"], "confidence": "sure"}
    assert reader.post(address("level"), level).url == f"{address('weigh')}#f-numbing"
    assert attempt.state().answers["difficulty-levels.health"].evidence == ("l",)
    refused = reader.post(address("level"), {"task": "difficulty-levels.health"})
    assert refused.status_code == 400
    assert "Choose a level." in words_of(refused)


def test_the_confirmation_names_what_is_open_and_the_commit_is_final(reader, address):
    reader.post(address("answer"), {"task": "canal-count", "value": "3"})
    asked = words_of(reader.get(address("commit", "look")))
    assert "Pulpal diagnosis: no answer" in asked
    assert "Number of canals: you have not said how sure you are" in asked
    first, again = (reader.post(address("commit", "look")) for _ in range(2))
    assert first.url == again.url == address("weigh")
    assert reader.get(address("commit", "look")).status_code == 409
    late = reader.post(address("answer"), {"task": "canal-count", "value": "4", "confidence": "sure"})
    assert late.status_code == 409
    page = reader.get(address("look"))
    assert "This stage is committed." in words_of(page)
    assert 'name="task"' not in page.content.decode()


def test_a_move_says_what_was_felt_and_keeps_the_instrument_in_hand(reader, address, work, attempt):
    work(Stage.OPEN)
    moved = reader.post(address("move"), MOVE)
    assert moved.url == f"{address('shape')}?canal=MB&tool=hand_file#felt"
    assert "purple 10/.02: loose at 15.0 mm" in words_of(reader.get(moved.url))
    refused = reader.post(address("move"), MOVE | {"to_mm": 45})
    assert refused.status_code == 400
    assert "A length of 45 mm is beyond the longest instrument" in words_of(refused)
    assert len(attempt.state().moves) == 1


def test_after_shape_only_what_belongs_to_filling_is_on_the_tray(reader, address, work):
    work(Stage.SHAPE)
    page = reader.get(address("fill")).content.decode()
    kinds = re.findall(r'name="kind" value="(\w+)"', page)
    assert {"fit_cone", "irrigate", "recapitulate", "fill_canal"} <= set(kinds)
    assert not {"hand_file", "engine_file", "coronal_flare", "gauge", "read_length"} & set(kinds)
    assert reader.post(address("move"), MOVE | {"stage": "fill"}).status_code == 409


def test_weigh_is_no_exercise_yet(reader, address, work):
    work(Stage.LOOK)
    assert "Exercise:" not in words_of(reader.get(address("weigh")))


@pytest.mark.parametrize("stage", ["open", "shape", "fill", "compare"])
def test_after_a_referral_every_later_page_says_that_it_is_an_exercise(reader, address, work, stage):
    work(Stage(STAGES[STAGES.index(stage) - 1]))
    names = [(stage, ()), ("look", ())] + ([("commit", (stage,))] if stage != "compare" else [])
    for name, args in names:
        assert "Exercise: carried on as the specialist would." in words_of(reader.get(address(name, *args))), name


def test_open_shows_the_crown_from_outside_and_nothing_of_what_lies_within(reader, address, work):
    work(Stage.WEIGH)
    page = reader.get(address("open")).content.decode()
    drawing = page[page.index('<svg xmlns="http://www.w3.org/2000/svg" class="tooth-map"') :].partition("</svg>")[0]
    assert "37, lower left second molar, seen from above" in drawing
    assert "map-outline" in drawing
    assert not re.search(r"map-(chamber|roof|orifice|name)", drawing)
