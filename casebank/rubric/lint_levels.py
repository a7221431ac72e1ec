"""Words that judge without a measure: whoever marks by them marks by taste.

An analytic rubric needs levels that two people read alike, so a wording that says "good" also says how many, how far or
how much, or is sent back to its author.
"""

import re
from collections.abc import Iterator

from casebank.rubric.criterion import Criterion
from casebank.rubric.flaw import Flaw
from casebank.rubric.ordering import OrderRule
from casebank.rubric.reason import WrittenRule
from casebank.rubric.rules import BenchRule, ChoiceRule, LevelRule, MeasureRule

JUDGING = re.compile(
    r"\b(good|adequate|appropriate|acceptable|satisfactory|sufficient|proper|suitable|reasonable|poor|fair|correct|"
    r"excellent|optimal|ideal|inadequate|inappropriate|insufficient|improper|unsuitable|unacceptable)(?:ly)?\b",
    re.IGNORECASE,
)
COUNTED = "one|two|three|four|five|six|seven|eight|nine|ten"
MEASURED = re.compile(
    rf"\d|[°%]|\b(half|third|quarter|twice)\b|\b({COUNTED})\s+(of\s+\w+\s+)?(mm|millimetre|degree|minute|second|hour|day|"
    rf"week|month|year|visit|size|film|step|canal|finding|side|wall)s?\b",
    re.IGNORECASE,
)


def unmeasured(criterion: Criterion) -> tuple[Flaw, ...]:
    """One flaw for each wording of a rule that judges and measures nothing.

    >>> bool(JUDGING.search("An adequate opening")), bool(MEASURED.search("adequate: 2 mm or more of wall"))
    (True, True)
    """
    return tuple(
        Flaw("unmeasured level", f"'{judging[0]}' in '{wording}' means what its reader likes: give a count or a size")
        for wording in wordings(criterion)
        if (judging := JUDGING.search(wording)) and not MEASURED.search(wording)
    )


def wordings(criterion: Criterion) -> Iterator[str]:
    """Every text of a rule that says what a level, an option, an item or a count is."""
    match criterion.rule:
        case LevelRule() as rule:
            yield from rule.words
        case ChoiceRule(options=dict() as options):
            yield from options.values()
        case MeasureRule() as rule:
            yield from filter(None, (rule.method, rule.counted))
        case BenchRule() as rule:
            yield rule.counts
        case OrderRule() as rule:
            yield from (*rule.items.values(), *rule.unsafe_first.values())
        case WrittenRule() as rule:
            for line in rule.lines:
                yield from (line.label, line.counts)
