"""Orders and reasons as they are asked and answered: nothing preset, shuffled for the attempt, refused in words."""

import re

import pytest
from django.urls import reverse

from assess.log import Stage
from assess.presenting.standing import unanswered
from tests.assess.pages.reading import words_of
from tests.assess.told import ORDERS, REASON, sent
from tests.factories import AttemptFactory

SHOWN = re.compile(r'<select[^>]* name="place-([^"]+)"')


@pytest.fixture
def weighing(work, reader):
    """The attempt at Weigh, where a rank and a reason are asked."""
    work(Stage.LOOK)


def part_of(page, task):
    """A question's own part of a page."""
    content = page.content.decode()
    return content[content.index(f'id="q-{task}"') :].partition("</form>")[0]


def test_nothing_is_preset_and_every_item_stands_there_once(weighing, reader, address):
    asked = part_of(reader.get(address("weigh")), "full-day")
    assert sorted(SHOWN.findall(asked)) == sorted(ORDERS["full-day"])
    assert "selected" not in asked
    assert asked.count('<option value="">–</option>') == len(ORDERS["full-day"])
    assert "stands on an axis of its own and is never merged into the score" in asked


def test_items_are_shuffled_for_the_attempt_and_stay_as_they_are(weighing, reader, address, attempt):
    first, again = (SHOWN.findall(part_of(reader.get(address("weigh")), "full-day")) for _ in range(2))
    assert first == again
    others = set()
    for seed in range(8):
        other = AttemptFactory(student=attempt.student, seed=seed)
        for stage in ("look",):
            reader.post(reverse("commit", args=[other.public_id, stage]))
        page = reader.get(reverse("weigh", args=[other.public_id]))
        others.add(tuple(SHOWN.findall(part_of(page, "full-day"))))
    assert len(others) > 4  # of 720 orders eight draws are hardly ever alike


def test_an_order_is_stored_as_it_was_put_and_shown_again(weighing, reader, address, attempt):
    assert reader.post(address("answer"), sent("full-day", confidence="unsure")).status_code == 303
    assert attempt.state().answers["full-day"].values == ORDERS["full-day"]
    asked = part_of(reader.get(address("weigh")), "full-day")
    places = dict(re.findall(r'name="place-([^"]+)".*?<option value="(\d)" selected>', asked))
    assert [item for item, _ in sorted(places.items(), key=lambda pair: pair[1])] == list(ORDERS["full-day"])
    reader.post(address("commit", "weigh"))
    page = words_of(reader.get(address("weigh")))
    order = [
        page.index(words) for words in ("Look for fever", "Find the tooth by", "Tell the supervisor", "Numb, open")
    ]
    assert order == sorted(order)


@pytest.mark.parametrize(
    ("change", "sentence"),
    [
        ({"place-ring": ""}, "“Agree to ring tomorrow, and on signs that must not wait” has no place yet"),
        ({"place-ring": "1"}, "both have place 1: give each its own."),
        ({"place-ring": "7"}, "has no place from 1 to 6: give it one."),
        ({"place-ring": "first"}, "has no place from 1 to 6: give it one."),
        ({"place-ring": "٣"}, "has no place from 1 to 6: give it one."),
    ],
)
def test_what_is_no_order_is_refused_in_words_and_what_was_sent_is_kept(
    weighing, reader, address, attempt, change, sentence
):
    refused = reader.post(address("answer"), sent("full-day") | change)
    assert refused.status_code == 400
    assert sentence in words_of(refused)
    asked = part_of(refused, "full-day")
    assert asked.count(" selected") == (5 if change["place-ring"] in ("", "7", "first", "٣") else 6)
    assert "full-day" not in attempt.state().answers
    by_script = reader.post(address("answer"), sent("full-day") | change, headers={"Accept": "application/json"})
    assert sentence in by_script.json()["refused"]


def test_a_reason_is_stored_with_its_lines_counted_as_the_page_counts_them(weighing, reader, address, attempt):
    text = f"{REASON}\r\nUntil then it stays closed."
    assert reader.post(address("answer"), {"task": "reason", "text": text, "confidence": "sure"}).status_code == 303
    answer = attempt.state().answers["reason"]
    assert answer.text == text.replace("\r\n", "\n")
    assert answer.confidence is None
    asked = part_of(reader.get(address("weigh")), "reason")
    assert 'maxlength="1200"' in asked
    assert "confidence" not in asked
    assert 'aria-live="polite"' in asked
    still = [one for one in unanswered(attempt.edition.document, attempt.state(), Stage.WEIGH) if "reason" in one]
    assert still == []


@pytest.mark.parametrize(
    ("text", "sentence"),
    [
        ("", "Write your reason first."),
        ("  \n ", "Write your reason first."),
        ("No", "Write your reason in a few words at least."),
        ("x" * 1201, "This has 1201 letters, and at most 1200 may be: shorten it."),
    ],
)
def test_no_reason_and_one_too_long_are_refused_in_words(weighing, reader, address, attempt, text, sentence):
    refused = reader.post(address("answer"), {"task": "reason", "text": text})
    assert refused.status_code == 400
    assert sentence in words_of(refused)
    assert "reason" not in attempt.state().answers


def test_a_text_of_exactly_the_most_letters_fits_though_a_browser_sends_two_for_each_line(weighing, reader, address):
    text = "\n".join(["x" * 599, "y" * 600])  # 599 + 1 + 600 letters
    assert reader.post(address("answer"), {"task": "reason", "text": text.replace("\n", "\r\n")}).status_code == 303


def test_what_is_looked_for_stands_nowhere_while_the_reason_is_written(weighing, reader, address):
    assert "One difficulty factor or more of this tooth is named" not in words_of(reader.get(address("weigh")))
