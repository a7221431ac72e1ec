"""A preview is the very page a student gets, without anything of the key; the key is for whoever teaches."""

import re
from html import unescape

import pytest
from django.urls import reverse

from assess.grading.grade import GRADED_STAGES
from assess.models import Attempt, Event
from assess.presenting.keying import key_of
from casebank.casefile import derive
from tests.assess.pages.reading import words_of
from tests.factories import DraftFactory, EditionFactory, leaning_abutment

ASKED = re.compile(
    r'<input[^>]*\sname="(?!csrfmiddlewaretoken|key|see-film|sha256)(\w+)"[^>]*?(?:\svalue="([^"]*)")?[^>]*>'
)


@pytest.fixture
def draft(instructor):
    return DraftFactory()


@pytest.fixture
def author(client, instructor):
    client.force_login(instructor)
    return client


@pytest.fixture
def preview(author, draft):
    return lambda stage: author.get(reverse("preview", args=[draft.public_id, stage]))


def main_of(response):
    return unescape(response.content.decode()).partition("<main")[2].partition("</main>")[0]


def asked_in(response):
    """Every field of every form, with what can be picked, in order; and the questions' own headings."""
    page = main_of(response)
    return sorted(ASKED.findall(page)), re.findall(r'<h3 id="(q-[^"]+)-name">', page), re.findall(r'id="f-[^"]+"', page)


@pytest.mark.parametrize("stage", GRADED_STAGES)
def test_a_preview_asks_what_a_student_is_asked_when_the_stage_opens(
    client, student, instructor, address, preview, stage
):
    client.force_login(student)
    for earlier in GRADED_STAGES[: GRADED_STAGES.index(stage)]:
        client.post(address("commit", earlier))
    served = client.get(address(stage))
    client.force_login(instructor)
    shown = preview(stage)
    assert shown.status_code == served.status_code == 200
    assert asked_in(shown) == asked_in(served)
    assert len(asked_in(shown)[0]) > 3


@pytest.mark.parametrize("stage", GRADED_STAGES)
def test_a_preview_says_what_it_is_and_nothing_can_be_sent_from_it(preview, stage):
    page = main_of(preview(stage))
    assert "Nothing you enter here is stored." in words_of(preview(stage))
    assert "assess/attempt.js" not in preview(stage).content.decode()
    forms = re.findall(r"<form\b.*?</form>", page, re.S)
    assert forms
    for form in forms:
        inside = form.partition('<fieldset class="off" disabled>')
        assert re.findall(r'<(?:input|button)(?![^>]*(?:type="hidden"| disabled))|<select|<textarea', inside[0]) == []
        assert form.rstrip().endswith("</fieldset></form>")


@pytest.mark.parametrize("stage", GRADED_STAGES)
def test_a_preview_carries_nothing_of_the_key(preview, stage):
    document = leaning_abutment()[1]
    reference = derive(document)
    asks = {criterion.ask for criterion in reference.rubric.criteria}
    secrets = {step for answer in reference.answers.values() for step in answer.working} - asks
    secrets |= {reason for answer in reference.answers.values() for reason in answer.unsafe.values()}
    secrets |= {finding.result for finding in document.chart if finding.when == "asked"}
    page = main_of(preview(stage))
    assert [secret for secret in secrets if secret in page] == []
    assert len(secrets) > 40


def test_previews_lead_from_stage_to_stage_and_to_no_attempt(preview, draft, author):
    pages = [main_of(preview(stage)) for stage in GRADED_STAGES]
    for page in pages:
        links = re.findall(r'href="([^"#?]+)', page)
        assert not [link for link in links if link.startswith("/attempts/")]
        others = {reverse("preview", args=[draft.public_id, stage]) for stage in GRADED_STAGES} & set(links)
        assert len(others) >= len(GRADED_STAGES) - 1
    actions = {action for page in pages for action in re.findall(r'<form[^>]*action="([^"]+)"', page)}
    assert actions
    assert {author.post(action).status_code for action in actions} == {404}


def test_looking_at_a_preview_stores_nothing(preview):
    for stage in GRADED_STAGES:
        preview(stage)
    assert not Attempt.objects.exists()
    assert not Event.objects.exists()


@pytest.mark.parametrize("stage", ["compare", "nothing", "Look"])
def test_there_is_no_preview_of_what_is_no_stage_to_work_in(preview, stage):
    assert preview(stage).status_code == 404


def test_the_films_are_those_given_and_those_the_author_names(author, draft):
    films = [author.get(reverse("preview-film", args=[draft.public_id, number])) for number in range(4)]
    assert [film.status_code for film in films] == [404, 200, 200, 404]  # one given, one further at 20 degrees
    assert films[1].content.startswith(b"\x89PNG")
    assert films[1].content != films[2].content
    assert films[1]["Cache-Control"].startswith("private")


def test_the_key_tells_every_task_with_its_working_weight_and_harm(author, draft):
    page = unescape(author.get(reverse("draft-key", args=[draft.public_id])).content.decode())
    reference = derive(leaning_abutment()[1])
    for task in reference.tasks:
        assert f'id="k-{task.id.replace(".", "-")}"' in page
        assert all(step in page for step in reference.answers[task.id].working)
        assert all(reason in page for reason in reference.answers[task.id].unsafe.values())
    assert reference.judgement.overall.reason in page
    assert all(factor.reason in page for factor in reference.judgement.factors)


def test_the_weights_of_the_key_make_up_the_whole(db):
    key = key_of(leaning_abutment()[1])
    assert sum(float(stage.weight) for stage in key.stages) == pytest.approx(100)


def test_the_key_of_an_edition_is_that_of_the_newest_or_of_the_one_named(author):
    first = EditionFactory()
    EditionFactory(case=first.case, number=2, content=first.content.replace("old bridge", "new bridge"))
    address = reverse("case-key", args=[first.case.slug])
    newest, older = author.get(address), author.get(address, {"edition": "1"})
    assert "Edition 2, published" in words_of(newest)
    assert "Edition 1, published" in words_of(older)
    assert author.get(address, {"edition": "3"}).status_code == 404
    assert "Edition 2, published" in words_of(author.get(address, {"edition": "one"}))


@pytest.mark.parametrize("who", ["student", "fellow", "outsider"])
def test_nobody_else_gets_a_preview_a_film_or_a_key(client, request, draft, who):
    case = EditionFactory().case
    client.force_login(request.getfixturevalue(who))
    addresses = [reverse("preview", args=[draft.public_id, stage]) for stage in GRADED_STAGES]
    addresses += [reverse("preview-film", args=[draft.public_id, 1]), reverse("draft-key", args=[draft.public_id])]
    addresses += [reverse("draft", args=[draft.public_id]), reverse("case-key", args=[case.slug]), reverse("bank")]
    assert {client.get(address).status_code for address in addresses} == {404}
