"""Dose beside films', and the reasons a limited volume may be asked for with."""

import pytest

from casebank.radiograph.cone_beam import doses, in_films, is_justified, reasons


def test_a_volume_costs_many_films_and_both_doses_name_their_source():
    film, volume = doses()
    for dose in (film, volume):
        low, high = dose.range_microsievert
        assert low <= dose.microsievert <= high
        assert dose.source
        assert dose.basis == "from memory"
    # 84 over 5 microsievert is 16.8
    assert in_films() == 17
    assert volume.microsievert > film.range_microsievert[1]


def test_every_reason_has_words_a_because_and_a_source_of_its_own():
    slugs = [reason.slug for reason in reasons()]
    assert len(set(slugs)) == len(slugs)
    for reason in reasons():
        assert reason.words
        assert reason.because.endswith(".")
        assert all("from memory" in source for source in reason.sources)
    assert {reason.justified for reason in reasons()} == {"yes", "after films", "no"}


@pytest.mark.parametrize(
    ("slug", "angles_seen", "expected"),
    [
        ("missed-canal-sought", 2, True),
        ("missed-canal-sought", 1, False),
        ("resorption-extent", 0, True),
        ("every-tooth-first", 5, False),
    ],
)
def test_a_reason_is_justified_at_once_after_films_or_never(slug, angles_seen, expected):
    assert is_justified(slug, angles_seen) is expected


def test_an_unknown_reason_is_refused_with_those_there_are():
    with pytest.raises(KeyError, match=r"no reason curiosity.*resorption-extent"):
        is_justified("curiosity", 2)
