"""The page on which difficulty is weighed, for a case of another set than AAE 2022."""

import hashlib
import json
import re

import pytest
from django.urls import reverse

from tests.assess.pages.reading import words_of
from tests.factories import LEANING_ABUTMENT, DraftFactory


@pytest.mark.parametrize(
    ("name", "whole", "bend", "said"),
    [
        ("ese-1992", 2, 2, "Complicated"),
        ("rcs-2001", 3, 3, "Present"),
        ("aae-2005-2010", 3, 3, "Minimal"),
    ],
)
def test_a_factor_and_the_whole_are_asked_in_the_set_s_levels(client, instructor, name, whole, bend, said):
    content = json.dumps(json.loads(LEANING_ABUTMENT.read_text(encoding="utf-8")) | {"criteria": name})
    draft = DraftFactory(content=content, sha256=hashlib.sha256(content.encode()).hexdigest())
    client.force_login(instructor)
    page = client.get(reverse("preview", args=[draft.public_id, "weigh"]))
    forms = re.findall(r"<form.*?</form>", page.content.decode(), flags=re.DOTALL)
    by_task = {task: form for form in forms for task in re.findall(r'name="task" value="([^"]+)"', form)}
    assert by_task["overall"].count('name="level"') == whole
    assert by_task["difficulty-levels.canal-form"].count('name="level"') == bend
    assert said in words_of(page)
