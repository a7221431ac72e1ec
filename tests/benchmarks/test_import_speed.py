"""How long it takes to publish two hundred case files. Goal: 20 s."""

import json

import pytest
from django.core.management import call_command

from casebank.models import Edition
from tests.append_only import empty_the_store
from tests.factories import LEANING_ABUTMENT

FILES = 200


@pytest.fixture
def folder(tmp_path):
    """Two hundred different teeth: each bends and stands a little otherwise, so that nothing is known from before."""
    record = json.loads(LEANING_ABUTMENT.read_text(encoding="utf-8"))
    for number in range(FILES):
        record["slug"] = f"invented-{number:03}"
        record["anatomy"]["bone"]["seed"] = number
        record["anatomy"]["placement"]["rotation_deg"] = 5 + number / 50
        text = json.dumps(record, indent=2, ensure_ascii=False)
        (tmp_path / f"{record['slug']}.case.json").write_text(text, encoding="utf-8")
    return tmp_path


@pytest.mark.django_db(transaction=True)
def test_publishing_two_hundred_case_files(benchmark, folder):
    benchmark.pedantic(call_command, args=("load_cases", str(folder)), kwargs={"verbosity": 0}, rounds=1)
    assert Edition.objects.count() == FILES
    empty_the_store()
