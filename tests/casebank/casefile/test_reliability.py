"""How far a pulp test can be trusted: published figures, and where a case prints them."""

from importlib import resources
from pathlib import Path

import pytest

from casebank.casefile import derive, read_document
from casebank.casefile.reliability import Reliability, read_figures, reliability, trust_in

CASE = Path(__file__).parents[3] / "fixtures" / "cases" / "leaning-abutment.case.json"
TEXT = (resources.files("casebank.casefile") / "reliability.toml").read_text(encoding="utf-8")


@pytest.fixture(scope="module")
def document():
    return read_document(CASE)


@pytest.mark.parametrize(
    ("kind", "sensitivity", "specificity"),
    [
        # Mainkar & Kim, J Endod 2018;44:694-702, pooled over 28 studies; positive = the test says the pulp is dead
        ("cold", 0.87, 0.84),
        ("electric", 0.72, 0.93),
        ("heat", 0.78, 0.67),
        ("laser Doppler", 0.98, 0.95),
        ("pulse oximetry", 0.97, 0.95),
    ],
)
def test_the_figures_are_the_published_ones(kind, sensitivity, specificity):
    figures = reliability()[kind]
    assert (figures.sensitivity, figures.specificity) == (sensitivity, specificity)
    assert (figures.studies, figures.status) == (28, "verified")
    assert "Mainkar & Kim" in figures.source


def test_the_figures_stand_near_the_pooled_predictive_values_by_bayes():
    # Bayes at the pooled prevalence of .428: .428*.87 / (.428*.87 + .572*.16) = .37236 / .46388 = .8027 and
    # .572*.84 / (.572*.84 + .428*.13) = .48048 / .53612 = .8962; the study pooled them apart, as .81 and .87
    cold, dead = reliability()["cold"], 0.428
    called_dead = dead * cold.sensitivity + (1 - dead) * (1 - cold.specificity)
    assert dead * cold.sensitivity / called_dead == pytest.approx(0.8027, abs=1e-4)
    assert dead * cold.sensitivity / called_dead == pytest.approx(0.81, abs=0.01)
    assert (1 - dead) * cold.specificity / (1 - called_dead) == pytest.approx(0.8962, abs=1e-4)
    assert (1 - dead) * cold.specificity / (1 - called_dead) == pytest.approx(0.87, abs=0.03)


def test_the_proof_prints_the_figures_of_each_pulp_test_it_cites(document):
    # cited are c and d (cold), g (percussion) and film 1: two sentences after the author's reason
    working = derive(document).answers["proof"].working
    assert len(working) == 3
    assert working[0] == document.choices["proof"].because
    assert working[1] == (
        "Finding c, cold on 37: of 100 dead pulps cold finds 87 (sensitivity .87), of 100 living ones it clears 84 "
        "(specificity .84); 28 studies pooled: Mainkar & Kim, J Endod 2018;44:694-702."
    )
    assert working[2].startswith("Finding d, cold on 35: ")


def test_a_finding_that_tests_no_pulp_or_could_not_has_no_figures(document):
    assert [trust_in(document.finding(letter)) for letter in "agf"] == [None, None, None]


@pytest.mark.parametrize(
    ("old", "new", "words"),
    [
        ("[test.heat]", "[test.warmth]", "must name each pulp test once"),
        ("sensitivity = 0.87", "sensitivity = 87", "lie above 0 and below 1"),
        ("sensitivity = 0.87", "sensitivty = 0.87", "cannot be read"),
        ('status = "verified"', 'status = "believed"', "a status of 'believed' is none of verified, from memory"),
        ("studies = 28\n", "", "cannot be read"),
    ],
)
def test_odd_figures_are_refused_in_words(old, new, words):
    assert old in TEXT
    with pytest.raises(ValueError, match=words):
        read_figures(TEXT.replace(old, new, 1))


def test_a_recalled_figure_says_so(document, monkeypatch):
    recalled = Reliability(0.5, 0.5, 3, "Somewhere", "from memory")
    monkeypatch.setattr("casebank.casefile.reliability.reliability", lambda: {"cold": recalled})
    assert trust_in(document.finding("c")).endswith("; 3 studies pooled: Somewhere, from memory.")
