"""Flaws of a task as it is written: what lets somebody guess who knows nothing, or trips somebody who knows.

The list follows item-writing guides (NBME item-writing guide, 2020; adapted list, doi 10.1186/s12909-016-0559-7), in
our own words. A flaw is a question to the author, never a verdict: it can be overruled with a reason.
"""

import itertools
import re
from collections.abc import Mapping

from casebank.rubric.answers import ChoiceReference
from casebank.rubric.criterion import Criterion
from casebank.rubric.flaw import Flaw
from casebank.rubric.lint_levels import unmeasured
from casebank.rubric.lint_numbers import out_of_order, share_values
from casebank.rubric.ordering import OrderReference, OrderRule, OrderSaid, order, random_order_credit
from casebank.rubric.rules import ChoiceRule

ABSOLUTE = frozenset(
    {"always", "never", "every", "completely", "impossible", "invariably", "entirely", "certainly", "guaranteed"}
)
VAGUE = frozenset(
    {"often", "usually", "sometimes", "frequently", "rarely", "occasionally", "generally", "commonly", "seldom"}
    | {"normally", "mostly", "typically"}
)
NEGATIVE = re.compile(
    r"\b(not|except|least likely|incorrect|false|never|cannot|unlike|untrue|contraindicated)\b|n't\b", re.IGNORECASE
)
CATCH_ALL = re.compile(
    r"\b(all|none|both|any|neither) of (the|these|those) (above|others?|options|answers|two|three|four)\b|"
    r"\b(all|none) of (these|those)\b|^(both )?[a-e1-5] and [a-e1-5]$",
    re.IGNORECASE,
)
HINGED = re.compile(
    r"\b(previous|last|earlier|preceding) (question|answer|task|step)\b|\byou answered\b", re.IGNORECASE
)
ARTICLE = re.compile(r"\b(an?)\s*(?:…|\.{3}|:|_+)?\s*$", re.IGNORECASE)

LONGER = 1.3
"""A best option this many times as long as the longest other one stands out."""

TELLING_WORD = 6
"""Letters from which a word shared by the question and the best option alone gives it away."""

TELLING_STEM = 7
"""Letters by which two longer words count as one: "perforated" and "perforation"."""


def flaws_of(criterion: Criterion) -> tuple[Flaw, ...]:
    """Flaws of a criterion: of its question, its options or items, and its wordings.

    Where the rubric carries no key, the first worked example says which option is keyed.
    """
    reference = criterion.key or criterion.examples[0].reference
    best = reference.best if isinstance(reference, ChoiceReference) else frozenset[str]()
    rule = criterion.rule
    options = rule.options if isinstance(rule, ChoiceRule) and rule.options != "case" else {}
    listed = (
        _listed_in_order(rule, reference)
        if isinstance(rule, OrderRule) and isinstance(reference, OrderReference)
        else ()
    )
    return (*flaws(criterion.ask, options, best), *listed, *unmeasured(criterion))


def flaws(ask: str, options: Mapping[str, str], best: frozenset[str]) -> tuple[Flaw, ...]:
    """Flaws of a question with its options (value to wording); `best` names the values that are keyed.

    Examples
    --------
    >>> options = {"a": "Swelling", "b": "All of the above"}
    >>> [flaw.name for flaw in flaws("Which is not a sign?", options, frozenset("a"))]
    ['negative question', 'catch-all option']
    """
    found = []
    if match := NEGATIVE.search(ask):
        found.append(Flaw("negative question", f"'{match[0]}' turns the question round: ask for what holds"))
    if match := HINGED.search(ask):
        found.append(Flaw("hinged question", f"'{match[0]}' hangs this task on another: state what is given"))
    for wording in options.values():
        words = set(re.findall(r"[a-z]+", wording.lower()))
        if match := CATCH_ALL.search(wording):
            found.append(Flaw("catch-all option", f"'{match[0]}' tests logic: replace it by an option of its own"))
        if strong := sorted(words & ABSOLUTE):
            found.append(Flaw("absolute term", f"'{strong[0]}' in '{wording}' is seldom true: say when it holds"))
        if weak := sorted(words & VAGUE):
            found.append(Flaw("vague frequency", f"'{weak[0]}' in '{wording}' means many things: give a number"))
    return (
        *found,
        *_longest(options, best),
        *_echo(ask, options, best),
        *_article(ask, options),
        *_opposites(options),
        *_numbers(options),
    )


def _longest(options: Mapping[str, str], best: frozenset[str]) -> tuple[Flaw, ...]:
    keyed = [len(wording) for value, wording in options.items() if value in best]
    others = [len(wording) for value, wording in options.items() if value not in best]
    if keyed and others and min(keyed) > LONGER * max(others):
        return (Flaw("longest is best", f"the best option has {min(keyed)} letters, the others at most {max(others)}"),)
    return ()


def _echo(ask: str, options: Mapping[str, str], best: frozenset[str]) -> tuple[Flaw, ...]:
    def telling(text: str) -> set[str]:
        return {word[:TELLING_STEM] for word in re.findall(r"[a-z]+", text.lower()) if len(word) >= TELLING_WORD}

    elsewhere = set[str]().union(*(telling(wording) for value, wording in options.items() if value not in best))
    keyed = set[str]().union(*(telling(wording) for value, wording in options.items() if value in best))
    if echoed := sorted(telling(ask) & keyed - elsewhere):
        return (Flaw("echoed word", f"'{echoed[0]}' stands in the question and in the best option alone: reword one"),)
    return ()


def _article(ask: str, options: Mapping[str, str]) -> tuple[Flaw, ...]:
    """A question that ends on its article leaves only the options that fit it."""
    if (match := ARTICLE.search(ask)) is None:
        return ()
    wants_vowel = match[1].lower() == "an"
    fitting = sum((wording.strip()[:1].lower() in "aeiou") == wants_vowel for wording in options.values())
    if fitting == len(options):
        return ()
    return (
        Flaw("article gives it away", f"'{match[1]}' at the question's end fits {fitting} options: move it to them"),
    )


def _opposites(options: Mapping[str, str]) -> tuple[Flaw, ...]:
    """Two of several options of which one must hold: the others are there for show."""
    bags = [re.findall(r"[a-z]+", wording.lower()) for wording in options.values()]
    for one, other in itertools.combinations(bags, 2):
        shorter, longer = sorted((one, other), key=len)
        if len(options) > 2 and "not" in longer and [word for word in longer if word != "not"] == shorter:
            return (Flaw("opposite options", f"'{' '.join(longer)}' denies another option: one of the two must hold"),)
    return ()


def _numbers(options: Mapping[str, str]) -> tuple[Flaw, ...]:
    found, wordings = [], list(options.values())
    if share_values(wordings):
        found.append(
            Flaw("overlapping options", "two ranges share values: part them so that one reading fits one option")
        )
    if len({wording.strip().lower() for wording in wordings}) < len(wordings):
        found.append(Flaw("overlapping options", "two options read alike: keep one"))
    if out_of_order(wordings):
        found.append(Flaw("unordered numbers", "the options are sizes out of order: sort them"))
    return tuple(found)


def _listed_in_order(rule: OrderRule, reference: OrderReference) -> tuple[Flaw, ...]:
    """Items whose order in the file earns more than a random one: whoever leaves them as they stand is paid for it."""
    listed = order(rule, OrderSaid(tuple(rule.items)), reference).credit
    if listed <= random_order_credit(rule, reference):
        return ()
    return (Flaw("listed in order", f"left as listed the items earn {100 * listed:.0f} %: list them otherwise"),)
