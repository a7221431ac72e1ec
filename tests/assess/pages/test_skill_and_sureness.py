"""Skill above guessing and confidence beside the raw percent, and the rule of scoring before a case is begun."""

import pytest
from django.urls import reverse
from hypothesis import given
from hypothesis import strategies as st

from assess.grading import grade_record
from assess.log import Stage
from assess.presenting.scoring_rule import scoring_rule
from assess.presenting.skilled import skilled
from assess.presenting.sureness import LEAST_TOLD, Pointed, sureness
from casebank.casefile import derive
from casebank.rubric import ChoiceRule, MarkRule, bundled, compare
from tests.assess.pages.reading import OWN_MARKS, PERCENTS, words_of


def confidence(**steps):
    """A stored grade whose steps hold (rated, right)."""
    held = {"unsure": (0, 0), "fairly sure": (0, 0), "sure": (0, 0)} | {
        name.replace("_", " "): counts for name, counts in steps.items()
    }
    return {
        "confidence": {
            "rated": sum(rated for rated, _ in held.values()),
            "right": sum(right for _, right in held.values()),
            "points": -4,
            "mean": -0.25,
            "honest": 0.5,
            "right_from": 0.75,
            "steps": {name: {"rated": rated, "right": right} for name, (rated, right) in held.items()},
            "sure_and_wrong": ["axis", "gone"],
            "unsure_and_right": [],
        }
    }


def said_of_sure(rated, right):
    return sureness(confidence(sure=(rated, right)), {}).steps[-1].says


def test_compare_shows_percent_skill_and_confidence_apart(settled, reader, address, attempt):
    page = words_of(reader.get(address("compare")))
    result = attempt.grades.get().result
    assert f"Skill above guessing: {result['skill']['skill']:.2f}" in page
    held = result["skill"]
    assert f"the better of the two would earn {100 * held['baseline'] / held['whole']:.0f} %." in page
    assert "Raw percent, not corrected for guessing." in page
    assert "How sure, and how right" in page
    held = result["confidence"]
    assert f"Rated answers: {held['rated']}, of which {held['right']} right." in page
    assert "These points stand apart: they change neither the percent nor the skill." in page


def test_what_was_sure_and_wrong_is_listed_with_its_place_on_the_page(reader, address, work, attempt):
    work(Stage.WEIGH)
    reader.post(address("answer"), {"task": "rubber-dam", "values": "none", "confidence": "sure"})
    for stage in ("open", "shape", "fill"):
        reader.post(address("commit", stage))
    reader.post(address("self-grade"), PERCENTS)
    reader.post(address("mark-own"), OWN_MARKS)
    assert "rubber-dam" in attempt.grades.get().result["confidence"]["sure_and_wrong"]
    response = reader.get(address("compare"))
    source, said = response.content.decode(), words_of(response)
    block = source[source.index('id="sureness-name"') :]
    assert '<a href="#t-rubber-dam">Rubber dam</a>' in block[: block.index("</section>")]
    assert 'id="t-rubber-dam"' in source
    assert "Sure and wrong: 1" in said


def test_a_grade_of_before_skill_and_confidence_is_still_shown(work, reader, address, attempt, monkeypatch):
    def older(result):
        record = grade_record(result)
        return {key: value for key, value in record.items() if key not in ("skill", "confidence")}

    work(Stage.FILL)
    with monkeypatch.context() as before:
        before.setattr("assess.actions.settling.grade_record", older)
        reader.post(address("self-grade"), PERCENTS)
        reader.post(address("mark-own"), OWN_MARKS)
    assert not {"skill", "confidence"} & set(attempt.grades.get().result)
    response = reader.get(address("compare"))
    page = words_of(response)
    assert response.status_code == 200
    assert "made before skill above guessing and confidence were worked out" in page
    assert "How sure, and how right" not in page
    assert "Agreement by stage" in page


def test_nothing_of_skill_or_confidence_is_shown_before_the_own_estimate(reader, address, work):
    work(Stage.FILL)
    page = words_of(reader.get(address("compare")))
    assert "Skill above guessing" not in page
    assert "How sure, and how right" not in page


def test_the_rule_of_scoring_stands_on_the_start_page(reader, attempt):
    page = words_of(reader.get(reverse("case", args=["leaning-abutment"])))
    assert "An answer left out earns nothing, and so does a wrong one" in page
    assert "Findings that carry the diagnosis: a pick that does not belong takes one that does off again." in page
    assert "Tip of the root: each mark that hits nothing takes off 50 % of the task." in page
    assert "keeps 50 % of its credit" in page
    assert "On axes of their own, never merged into the score: Treat or refer, Judgement, In your own words." in page
    assert "with 50 % of the pairs or more that way nothing is earned" in page
    for row in ("Unsure +1 0 below 67 % right", "Fairly sure +2 −2 from 67 to 80 % right", "Sure +3 −6 from 80 %"):
        assert row in page


def test_only_the_tasks_that_the_rule_names_take_something_off(attempt):
    document = attempt.edition.document
    named = [sentence.partition(":")[0] for sentence in scoring_rule(document).takes_off]
    criteria = bundled(document.rubric).criteria
    subtracting = [
        one.label
        for one in criteria
        if isinstance(one.rule, MarkRule) or (isinstance(one.rule, ChoiceRule) and one.rule.most > 1)
    ]
    assert named == subtracting


def test_a_wrong_pick_takes_off_what_the_rule_says(attempt):
    reference = derive(attempt.edition.document)
    answer = reference.answers["proof"].value
    criterion = reference.rubric.criterion("proof")
    right = tuple(sorted(answer.best))[:2]
    # two of four, then one of them taken off again
    assert compare(criterion, right, answer).credit == 0.5
    assert compare(criterion, (*right, "a"), answer).credit == 0.25


# ---------------------------------------------------------------- words


@pytest.mark.parametrize(
    ("skill", "figure"),
    [
        (0.618, "0.62"),
        (1.0, "1.00"),
        (0.004, "no better than guessing"),
        (0.0, "no better than guessing"),
        (-0.4, "no better than guessing"),
        (None, "cannot be told: too little of this case lies above guessing"),
    ],
)
def test_skill_in_words(skill, figure):
    held = {"skill": skill, "earned": 1.0, "baseline": 61.0, "whole": 100.0, "table": "some 2, edition 1"}
    shown = skilled({"skill": held})
    assert shown.figure == figure
    assert "would earn 61 %." in shown.meaning


def test_without_a_table_guessing_means_at_random():
    held = {"skill": 0.5, "earned": 1.0, "baseline": 30.0, "whole": 100.0, "table": "some 2, edition 0"}
    assert skilled({"skill": held}).meaning.startswith("Guessing here means answering at random")


def test_a_step_is_judged_only_where_its_interval_leaves_no_doubt():
    # 95 % intervals by Wilson 1927: 10 of 30 ends at 0.51, below 0.80; 22 of 30 reaches 0.86
    assert said_of_sure(30, 10) == "surer than right"
    assert said_of_sure(30, 22) == "in keeping with what was right"
    assert said_of_sure(LEAST_TOLD - 1, 0) == "too few to tell"
    assert said_of_sure(0, 0) == "not used"
    unsure = sureness(confidence(unsure=(40, 38)), {}).steps[0]
    assert unsure.says == "right more often than said"  # 38 of 40: from 0.84 on, above 0.67


def test_points_carry_their_sign_and_lists_only_what_is_on_the_page():
    shown = sureness(confidence(sure=(4, 2)), {"axis": Pointed("Axis of the opening", "t-axis")})
    assert (shown.points, shown.mean, shown.honest) == ("−4", "−0.25", "+0.50")
    assert [one.label for one in shown.sure_and_wrong] == ["Axis of the opening"]


@given(st.integers(0, 60), st.data())
def test_nobody_who_was_right_throughout_is_called_surer_than_right(rated, data):
    step = data.draw(st.sampled_from(["unsure", "fairly_sure", "sure"]))
    shown = sureness(confidence(**{step: (rated, rated)}), {})
    assert "surer than right" not in {one.says for one in shown.steps}
