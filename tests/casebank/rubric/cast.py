"""Criteria for tests of the comparisons, with numbers that are easy to work by hand."""

from casebank.rubric import (
    BenchRule,
    ChoiceRule,
    Criterion,
    LevelRule,
    MarkRule,
    MeasureRule,
    OrderRule,
    OutlineRule,
    Reasons,
    WrittenRule,
)
from casebank.rubric.opening import Band
from casebank.rubric.reason import Line

KIND_OF = {
    LevelRule: "level",
    ChoiceRule: "choice",
    MeasureRule: "measure",
    MarkRule: "mark",
    BenchRule: "bench",
    OrderRule: "order",
    OutlineRule: "outline",
    WrittenRule: "written",
}


def criterion(rule, **changes):
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
        reasons=Reasons("Because it matters.", "Do this next.", "Teaching choice."),
        examples=(),
        **changes,
    )


LEVEL = criterion(LevelRule(("low", "moderate", "high"), 0.5, 0.25, 0.0, 0.5, 4))
ONE = criterion(ChoiceRule({"crown": "Along the crown", "roots": "Along the roots", "bite": "Square to the bite"}))
SEVERAL = criterion(ChoiceRule("case", most=4))
ANGLE = criterion(MeasureRule("deg", 2.0, 8.0, 0.0, 60.0, method="secant angle, Schneider 1971"))
LENGTH = criterion(MeasureRule("mm", 0.5, 1.5, 17.0, 27.0))
COUNT = criterion(MeasureRule("count", 0.0, 1.0, 1.0, 5.0, counted="canals"))
MARK = criterion(MarkRule(0.5, 2.5, 0.5, 4, 110.0))
BENCH = criterion(BenchRule("larger files were followed by a size 10 to length"))
ORDER = criterion(OrderRule({"a": "Ask", "b": "Bite test", "c": "Cold test", "d": "Decide", "e": "End"}))
ITEMS = {"a": "Ask", "b": "Bite test", "c": "Cold test", "d": "Drill"}
RANK = criterion(OrderRule(ITEMS, unsafe_first={"d": "Nothing is known yet."}))
LINES = (Line("factor", "What decides", "One factor is named", 2), Line("limit", "Limit", "It says where", 1))
WRITTEN = criterion(WrittenRule(LINES, 200))
# whole to 5 degrees, 0.25 of the need, 1.5 mm, 0.1 of the roof; nothing from 15, 1.25, 0.5 and 0.5 on
OUTLINE = criterion(
    OutlineRule(
        reach=Band(0.4, 5, 15),
        removed=Band(0.2, 0.25, 1.25),
        crown_wall=Band(0.1, 1.5, 0.5),
        root_wall=Band(0.1, 1.5, 0.5),
        roof=Band(0.2, 0.1, 0.5),
    )
)
