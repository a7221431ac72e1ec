"""Criteria for tests of the comparisons, with numbers that are easy to work by hand."""

from casebank.rubric import (
    BenchRule,
    ChoiceRule,
    Criterion,
    LevelRule,
    MarkRule,
    MeasureRule,
    Reasons,
)

KIND_OF = {LevelRule: "level", ChoiceRule: "choice", MeasureRule: "measure", MarkRule: "mark", BenchRule: "bench"}


def criterion(rule):
    return Criterion(
        id="asked",
        stage="look",
        kind=KIND_OF[type(rule)],
        label="Asked",
        ask="What is asked?",
        weight=100,
        key_type="school rule",
        key_feature=True,
        per="case",
        competencies=("films",),
        rule=rule,
        reasons=Reasons("Because.", "Do this next.", "Teaching choice."),
        examples=(),
    )


LEVEL = criterion(LevelRule(("low", "moderate", "high"), 0.5, 0.25, 0.0, 0.5, 4))
ONE = criterion(ChoiceRule({"crown": "Along the crown", "roots": "Along the roots", "bite": "Square to the bite"}))
SEVERAL = criterion(ChoiceRule("case", most=4))
ANGLE = criterion(MeasureRule("deg", 2.0, 8.0, 0.0, 60.0, method="secant angle, Schneider 1971"))
LENGTH = criterion(MeasureRule("mm", 0.5, 1.5, 17.0, 27.0))
COUNT = criterion(MeasureRule("count", 0.0, 1.0, 1.0, 5.0, counted="canals"))
MARK = criterion(MarkRule(0.5, 2.5, 0.5, 4, 110.0))
BENCH = criterion(BenchRule("larger files were followed by a size 10 to length"))
