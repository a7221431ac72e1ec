"""The criteria side by side: every set a column, marks for what was recalled, reasons on demand."""

from html import unescape

import pytest
from django.urls import reverse

from casebank.casefile import compare_sets
from casebank.difficulty import criteria_sets, use_folder
from tests.assess.pages.reading import words_of
from tests.casebank.difficulty.test_own_sets import OWN
from tests.factories import EditionFactory, leaning_abutment


@pytest.fixture
def page(client, instructor):
    client.force_login(instructor)
    return lambda: client.get(reverse("case-criteria", args=[EditionFactory().case.slug]))


def test_every_set_has_a_column_with_its_hash_and_every_reason(page):
    shown = unescape(page().content.decode())
    table = compare_sets(leaning_abutment()[1])
    for column in table.columns:
        assert f'<th scope="col">{column.criteria.name}' in shown
        assert column.criteria.sha256 in shown
        assert column.judgement.overall.reason in shown
        assert all(level.reason in shown for level in column.judgement.factors)
    assert table.note in shown


def test_what_was_recalled_says_check_your_edition(page):
    shown = words_of(page())
    assert "check your edition" in shown
    assert "28" in shown
    assert "not asked" in shown
    assert "Schneider" in shown


def test_a_school_s_set_is_a_column_or_says_what_is_wrong_with_it(page, tmp_path):
    try:
        (tmp_path / "year-3-2026.toml").write_text(OWN, encoding="utf-8")
        use_folder(tmp_path)
        assert '<th scope="col">year-3-2026' in page().content.decode()
        (tmp_path / "year-3-2026.toml").write_text(OWN.replace("above = 30", "above = 31"), encoding="utf-8")
        use_folder(tmp_path)
        shown = page()
        assert shown.status_code == 200
        assert "year-3-2026, factor bend, rule 1, seen_curvature_deg: no band holds 30" in words_of(shown)
    finally:
        use_folder(None)
    assert len(criteria_sets()) == 4


def test_the_key_leads_to_it(client, instructor):
    client.force_login(instructor)
    slug = EditionFactory().case.slug
    assert reverse("case-criteria", args=[slug]) in client.get(reverse("case-key", args=[slug])).content.decode()
