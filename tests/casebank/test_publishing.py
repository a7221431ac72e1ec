"""Publishing: a sound document becomes an edition once; anything else is refused in a sentence and leaves nothing."""

import hashlib
import json
from io import StringIO

import pytest
from django.core.exceptions import PermissionDenied
from django.core.management import CommandError, call_command

from casebank import actions
from casebank.casefile import FileRefused
from casebank.models import Case, Edition
from tests.factories import LEANING_ABUTMENT

CONTENT = LEANING_ABUTMENT.read_bytes()


def changed(**fields):
    return json.dumps(json.loads(CONTENT) | fields).encode()


def test_an_edition_holds_the_very_bytes_and_their_hash(instructor, noon):
    edition = actions.publish_edition(content=CONTENT, by=instructor, now=noon)
    edition.refresh_from_db()
    assert edition.content.encode() == CONTENT
    assert edition.sha256 == hashlib.sha256(CONTENT).hexdigest()
    assert (edition.number, edition.tooth, edition.published_by) == (1, 37, instructor)
    assert edition.document.slug == edition.case.slug == "leaning-abutment"
    assert edition.is_intact


def test_the_same_content_twice_is_one_edition(instructor, director, noon):
    first = actions.publish_edition(content=CONTENT, by=instructor, now=noon)
    actions.publish_edition(content=changed(title="Another title"), by=instructor, now=noon)
    assert actions.publish_edition(content=CONTENT, by=director, now=noon) == first
    assert Edition.objects.count() == 2


def test_other_content_is_the_next_edition_of_the_same_case(instructor, noon):
    actions.publish_edition(content=CONTENT, by=instructor, now=noon)
    second = actions.publish_edition(content=changed(title="Another title"), by=instructor, now=noon)
    assert (second.number, second.title) == (2, "Another title")
    assert second.case.latest_edition() == second
    assert Case.objects.count() == 1


@pytest.mark.parametrize("who", ["student", "outsider"])
def test_whoever_does_not_teach_cannot_publish(request, noon, who):
    with pytest.raises(PermissionDenied, match="Only instructors and directors"):
        actions.publish_edition(content=CONTENT, by=request.getfixturevalue(who), now=noon)
    assert not Case.objects.exists()


@pytest.mark.parametrize(
    ("content", "sentence"),
    [
        (b"no json", "not valid JSON"),
        (b'{"title": "\xc3\x28"}', "not UTF-8"),
        (changed(schema_version=99), "schema_version: 99 is not the version"),
        (changed(choices={}), "choices.proof: the rubric treatment-path asks this"),
        (changed(title="x" * 201), "title: give one line of at most 200 characters"),
        (changed(title="two\nlines"), "title: give one line"),
        (changed(title="nothing\x00after"), "title: give one line"),
        (changed(title="half a letter \ud83d"), "not valid JSON|title|whole file"),
        (b" " * 2_000_001, "larger than 2 MB"),
    ],
    ids=["json", "utf-8", "schema", "key missing", "long title", "two lines", "control", "surrogate", "size"],
)
def test_what_is_no_case_is_refused_and_leaves_nothing(instructor, noon, content, sentence):
    with pytest.raises(FileRefused, match=sentence) as refusal:
        actions.publish_edition(content=content, by=instructor, now=noon)
    assert "\n" not in str(refusal.value)
    assert not Case.objects.exists()


@pytest.mark.django_db
def test_loading_the_bundled_cases_again_changes_nothing():
    said = StringIO()
    call_command("load_cases", stdout=said)
    before = list(Edition.objects.values())
    call_command("load_cases", stdout=said)
    lines = said.getvalue().splitlines()
    assert "leaning-abutment, edition 1: published" in lines
    assert "leaning-abutment, edition 1: was there already" in lines
    assert list(Edition.objects.values()) == before


@pytest.mark.django_db
def test_a_folder_without_a_case_is_said(settings, tmp_path):
    settings.BASE_DIR = tmp_path
    (tmp_path / "fixtures" / "cases").mkdir(parents=True)
    with pytest.raises(CommandError, match=r"there is no .*case.json in .*: name a folder with case files") as refusal:
        call_command("load_cases")
    assert refusal.value.returncode == 2


@pytest.fixture
def mixed(tmp_path):
    """A folder with a case, and with a file that is none."""
    (tmp_path / "good.case.json").write_bytes(LEANING_ABUTMENT.read_bytes())
    (tmp_path / "bad.case.json").write_text("{}")
    return tmp_path


@pytest.mark.parametrize("options", [{}, {"check": True}])
@pytest.mark.django_db
def test_a_file_that_is_no_case_is_named_and_keeps_no_other_back(mixed, options):
    said, wrong = StringIO(), StringIO()
    with pytest.raises(CommandError, match="1 of the files cannot be published") as refusal:
        call_command("load_cases", str(mixed), stdout=said, stderr=wrong, **options)
    assert refusal.value.returncode == 2
    assert wrong.getvalue().startswith("bad.case.json, schema_version: None is not the version")
    assert Edition.objects.count() == (0 if options else 1)
    assert ("good.case.json: can be published" in said.getvalue()) is bool(options)


@pytest.mark.django_db
def test_one_file_can_be_named(mixed):
    call_command("load_cases", str(mixed / "good.case.json"), stdout=StringIO())
    assert Edition.objects.get().case.slug == "leaning-abutment"
