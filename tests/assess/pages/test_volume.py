"""Sections of a limited volume: asked for with a reason, given whatever it was, judged only when all is settled."""

from io import BytesIO

import pytest
from PIL import Image

from assess.log import Stage
from casebank import films
from casebank.radiograph.cone_beam import reasons
from tests.assess.pages.reading import words_of

pytestmark = pytest.mark.django_db
NEEDLESS = {"reason": "decay", "hoped": "a hollow under the crown", "key": "once"}


@pytest.fixture
def asked(reader, address):
    answer = reader.post(address("ask-volume"), NEEDLESS)
    assert (answer.status_code, answer.headers["Location"]) == (303, address("volume"))


def picture(reader, address, plane="axial", **query):
    return reader.get(address("section-picture", plane), query)


def test_look_leads_to_the_request_with_every_reason_and_both_doses(reader, address):
    assert address("volume") in reader.get(address("look")).content.decode()
    said = words_of(reader.get(address("volume")))
    assert all(one.words in said for one in reasons())
    assert "about as much as 17 periapical films" in said
    assert "Periapical film 5 1.9–9.5" in said


def test_nothing_on_the_request_says_which_reasons_justify(reader, address):
    page = reader.get(address("volume")).content.decode()
    assert not any(one.because in page for one in reasons())
    assert "justified" not in page.replace("whether the reason justified it is said", "").replace(
        "each exposure is justified", ""
    )


def test_reasons_stand_in_an_order_drawn_for_the_attempt_and_kept(reader, address):
    first, again = (reader.get(address("volume")).context["reasons"] for _ in range(2))
    assert first == again
    assert [one.slug for one in first] != [one.slug for one in reasons()]


@pytest.mark.parametrize(
    ("sent", "sentence"),
    [
        ({"hoped": "a canal"}, "Choose the reason that justifies it."),
        ({"reason": "decay"}, "Write what you hope to see."),
        ({"reason": "curiosity", "hoped": "a canal"}, "Pick one of those on the page."),
        ({"reason": "decay", "hoped": "x" * 501}, "Say it in at most 500 characters."),
    ],
)
def test_a_request_without_reason_or_hope_is_refused_and_kept(reader, address, attempt, sent, sentence):
    answer = reader.post(address("ask-volume"), sent)
    assert answer.status_code == 400
    assert sentence in words_of(answer)
    assert sent.get("hoped", "") in answer.content.decode()
    assert not attempt.events.exists()


def test_no_section_is_given_before_it_was_asked_for(reader, address):
    assert picture(reader, address).status_code == 404


@pytest.mark.usefixtures("asked")
def test_the_volume_is_given_whatever_the_reason_and_asked_for_once(reader, address, attempt):
    said = words_of(reader.get(address("volume")))
    assert "Asked for with this reason: To look for decay." in said
    assert "a hollow under the crown" in said
    again = reader.post(address("ask-volume"), {"reason": "injury", "hoped": "a break"})
    assert again.status_code == 303
    assert attempt.events.filter(kind="volume").count() == 1


@pytest.mark.usefixtures("asked")
@pytest.mark.parametrize("plane", ["axial", "coronal", "sagittal"])
def test_each_section_is_a_picture_kept_on_disk(reader, address, plane, monkeypatch):
    answer = picture(reader, address, plane, at="1.2", thick="0.6")
    assert answer.headers["Content-Type"] == "image/png"
    # 40 mm in voxels of 0.15 mm
    assert Image.open(BytesIO(answer.content)).size == (267, 267)
    monkeypatch.setattr(films, "take_slice", lambda *_: pytest.fail("computed again"))
    assert picture(reader, address, plane, at="1.2", thick="0.6").content == answer.content


@pytest.mark.usefixtures("asked")
def test_places_that_cannot_be_are_put_inside_the_volume(reader, address):
    page = reader.get(address("volume"), {"axial": "1e9", "coronal": "nan", "sagittal": "-0.4", "thick": "7"})
    at = {one.plane: (one.at_mm, one.least_mm, one.most_mm) for one in page.context["sections"]}
    assert at["axial"][0] == at["axial"][2]
    assert at["coronal"][0] == 0.0
    assert at["sagittal"][0] == -0.3  # the nearest of the places 0.3 mm apart
    assert page.context["thick"] == 0.15
    assert picture(reader, address, "oblique").status_code == 404


@pytest.mark.usefixtures("asked")
def test_the_lines_meet_where_the_planes_stand(reader, address):
    middle = {one.plane: one for one in reader.get(address("volume")).context["sections"]}
    for one in middle.values():
        assert {line.plane for line in one.lines} == set(middle) - {one.plane}
        assert [line.at for line in one.lines] == pytest.approx([50, 50], abs=0.8)  # 0.3 mm of 40
    moved = reader.get(address("volume"), {"axial": str(middle["axial"].at_mm + 3)}).context["sections"]
    lines = {line.plane: line for one in moved if one.plane != "axial" for line in one.lines}
    # 3 mm of 40 are 7.5 hundredths, up the picture of a lower tooth
    assert lines["axial"].at == pytest.approx(middle["coronal"].lines[0].at - 7.5, abs=0.1)


@pytest.mark.usefixtures("asked")
def test_a_later_stage_leads_back_to_the_sections(reader, address, work):
    work(Stage.LOOK)
    assert address("volume") in reader.get(address("weigh")).content.decode()
    assert reader.post(address("ask-volume"), NEEDLESS).status_code == 303, "the same request again leads to its volume"


@pytest.mark.usefixtures("asked", "settled")
def test_compare_says_whether_it_was_justified_why_and_by_which_sources(reader, address):
    said = words_of(reader.get(address("compare")))
    assert "The limited volume not justified" in said
    assert "This reason does not justify a volume. A bitewing shows it at a lower dose" in said
    assert "about 17 films" in said
    assert "European Society of Endodontology position statement" in said


def test_without_a_request_compare_says_nothing_of_a_volume(reader, address, settled):
    assert "The limited volume" not in words_of(reader.get(address("compare")))
