"""A criteria set is read whole or refused in words."""

import pytest

from casebank.difficulty import CriteriaError, criteria_named, judge, load
from casebank.difficulty.facts import Measured

# Root canal complexity by curvature as two bodies word it, enough to show that a set is data.
SMALL = """
title = "Small set"
body = "A body"
edition = "2001"
levels = ["one", "two", "three"]
groups = ["the film"]
[sources]
book = "A booklet, 2001"
[facts]
bend_deg = { "unit" = "deg" }
course = { "values" = ["plain", "odd"] }
[angle]
method = "Schneider"
construction = "Schneider 1971"
taken_on = "the most curved canal"
source = "book"
status = "teaching choice"
[case_rule]
source = "book"
status = "verified"
steps = [
    { gives = "three", at_least = 1, at_or_above = "three" },
    { gives = "two", at_least = 1, at_or_above = "two" },
]
[[factor]]
id = "bend"
label = "Bend"
group = "the film"
cells.one = { wording = "slight", source = "book", status = "from memory" }
cells.two = { wording = "clear", source = "book", status = "from memory" }
cells.three = { wording = "strong", source = "book", status = "from memory" }
[[factor.rules]]
kind = "bands"
fact = "bend_deg"
label = "bend"
unit = "deg"
one = { below = 15 }
two = { from = 15, to = 40 }
three = { above = 40 }
"""
WORDS_RULE = """
[[factor.rules]]
kind = "words"
fact = "course"
label = "course"
one = ["plain"]
three = ["odd"]
"""


# Royal College of Surgeons of England complexity index 2001: <15 code 1, over 15 and under 40 code 2, over 40 code 3
# (from memory); its overall code is the highest component's (verified).
@pytest.mark.parametrize(("bend_deg", "code"), [(14, 1), (20, 2), (41, 3)])
def test_another_body_s_bands_and_case_rule_need_no_new_code(bend_deg, code):
    judged = judge(load(SMALL, "small"), {"bend_deg": Measured(bend_deg, "deg", "by hand", "a film")})
    assert judged.overall.level == code


# ESE undergraduate guideline 1992, Int Endod J 25:169: uncomplicated means under 15 degrees (verified).
@pytest.mark.parametrize(("bend_deg", "word"), [(14.9, "uncomplicated"), (15, "complicated")])
def test_a_set_may_have_two_levels(bend_deg, word):
    text = SMALL
    for old, new in [
        ('levels = ["one", "two", "three"]', 'levels = ["uncomplicated", "complicated"]'),
        ('    { gives = "three", at_least = 1, at_or_above = "three" },\n', ""),
        (
            'gives = "two", at_least = 1, at_or_above = "two"',
            'gives = "complicated", at_least = 1, at_or_above = "complicated"',
        ),
        ('cells.three = { wording = "strong", source = "book", status = "from memory" }\n', ""),
        ("three = { above = 40 }\n", ""),
        ("two = { from = 15, to = 40 }", "complicated = { from = 15 }"),
        ("\none = {", "\nuncomplicated = {"),
        ("cells.one", "cells.uncomplicated"),
        ("cells.two", "cells.complicated"),
    ]:
        assert old in text
        text = text.replace(old, new)
    judged = judge(load(text, "two levels"), {"bend_deg": Measured(bend_deg, "deg", "by hand", "a film")})
    assert judged.overall.word == word


def test_a_set_is_read_from_a_file_as_from_text(tmp_path):
    path = tmp_path / "small.toml"
    path.write_text(SMALL, encoding="utf-8")
    assert load(path, "small") == load(SMALL, "small")


def test_sources_are_spelt_out_where_they_are_named():
    assert load(SMALL, "small").factor("bend").cells[0].source == "A booklet, 2001"


@pytest.mark.parametrize(
    ("old", "new", "message"),
    [
        ('unit = "deg"', 'unit = "deg"\nweight = 3', r"small, factor bend, rule 1, weight: .*not known.*remove"),
        ('group = "the film"\n', 'group = "the film"\ncolour = "red"\n', r"small, factor bend, colour: .*not known"),
        ('edition = "2001"', 'edition = "2001"\nyear = 2001', r"small, year: .*not known"),
        ('kind = "bands"', 'kind = "formula"', r"factor bend, rule 1, kind: 'formula' .*bands, words"),
        ("two = { from = 15, to = 40 }", "two = { from = 14, to = 40 }", r"rule 1, bend_deg: two bands overlap at 15"),
        ("one = { below = 15 }", "one = { to = 15 }", r"overlap at 15"),
        ("two = { from = 15, to = 40 }", "two = { from = 16, to = 40 }", r"no band holds 15: use from or to"),
        ("three = { above = 40 }", "three = { above = 40, to = 90 }", r"leave those two ends open"),
        ("two = { from = 15, to = 40 }", "two = { from = 40, to = 15 }", r"rule 1, two: starts at 40 and ends at 15"),
        (
            "two = { from = 15, to = 40 }",
            "two = { from = 15, above = 15 }",
            r"rule 1, two, above: from is given as well",
        ),
        (
            "two = { from = 15, to = 40 }",
            "two = { from = 15, to = 40, below = 41 }",
            r"rule 1, two, below: to is given",
        ),
        ("two = { from = 15, to = 40 }", "two = {}", r"rule 1, two: has no end"),
        ("two = { from = 15, to = 40 }", "two = { from = true, to = 40 }", r"two, from: True is no finite number"),
        ("two = { from = 15, to = 40 }", "two = { from = nan, to = 40 }", r"two, from: nan is no finite number"),
        ("two = { from = 15, to = 40 }\nthree = { above = 40 }", "", r"bend_deg: one band tells nothing apart"),
        (
            'wording = "clear", source = "book", ',
            'wording = "clear", ',
            r"small, factor bend, cells, two, source: missing: add it",
        ),
        (
            'wording = "clear", source = "book"',
            'wording = "clear", source = "hearsay"',
            r"two, source: 'hearsay' .*book",
        ),
        (
            '"clear", source = "book", status = "from memory"',
            '"clear", source = "book"',
            r"cells, two, status: missing",
        ),
        ('status = "verified"', 'status = "certain"', r"case_rule, status: 'certain' .*verified, from memory"),
        (
            'cells.three = { wording = "strong", source = "book", status = "from memory" }\n',
            "",
            r"cells, three: missing",
        ),
        ("cells.one = ", "cells.four = {}\ncells.one = ", r"factor bend, cells, four: this key is not known here"),
        ('wording = "slight"', 'wording = ""', r"cells, one, wording: '' is no text"),
        ("at_least = 1", "at_least = 1, at_most = 2", r"case_rule, step 1, at_most: this key is not known here"),
        ("at_least = 1", "at_least = 0", r"case_rule, step 1, at_least: 0 will not do: .*1 or more"),
        ('gives = "three"', 'gives = "four"', r"step 1, gives: 'four' .*one, two, three"),
        ('levels = ["one", "two", "three"]', 'levels = ["one"]', r"levels: one level tells nothing apart"),
        ('levels = ["one", "two", "three"]', 'levels = ["one", "one"]', r"levels: a value stands twice"),
        ('levels = ["one", "two", "three"]', "levels = []", r"levels: must be a list with at least one entry"),
        ('levels = ["one", "two", "three"]', "levels = [1, 2]", r"levels: a value is no text"),
        ('group = "the film"\n', 'group = "the moon"\n', r"factor bend, group: 'the moon' .*the film"),
        ("[case_rule]", "[case_rules]", r"case_rule: missing: add it"),
        ("[sources]", "[[sources]]", r"sources: holds .*make it a table"),
        ("title = ", "title : ", r"small: not valid TOML .*correct it there"),
        ('unit = "deg"', 'unit = "deg"\ndecimals = -1', r"rule 1, decimals: -1 will not do"),
        ('unit = "deg"', 'unit = "deg"\nsource = "book"', r"rule 1, status: missing"),
        (
            "one = { below = 15 }\ntwo = { from = 15, to = 40 }\nthree = { above = 40 }",
            "",
            r"rule 1: gives no level: add at least one",
        ),
    ],
)
def test_a_faulty_set_is_refused_naming_file_place_and_remedy(old, new, message):
    assert old in SMALL
    with pytest.raises(CriteriaError, match=message) as refusal:
        load(SMALL.replace(old, new, 1), "small")
    assert str(refusal.value).startswith("small")


@pytest.mark.parametrize(
    ("old", "new", "message"),
    [
        ('three = ["odd"]', 'three = ["odd", "plain"]', r"rule 2, three: 'plain' has a level already"),
        (
            'one = ["plain"]\nthree',
            'two = ["plain"]\nthree',
            r"rule 2, course: no value gives the lowest level: add one",
        ),
        ('fact = "course"', 'fact = "bend_deg"', r"rule 2, one: bend_deg is never 'plain': it has numbers in deg"),
        ('fact = "course"', 'fact = "curse"', r"rule 2, fact: 'curse' is not known: use one of .*course, or add it"),
        ('three = ["odd"]', 'three = ["strange"]', r"rule 2, three: course is never 'strange': it has plain, odd"),
        ('three = ["odd"]', "", r"rule 2, course: no level for 'odd': give it one"),
        ('three = ["odd"]', 'three = ["odd"]\nunit = "mm"', r"rule 2, unit: .*not known"),
    ],
)
def test_a_faulty_words_rule_is_refused(old, new, message):
    assert old in WORDS_RULE
    with pytest.raises(CriteriaError, match=message):
        load(SMALL + WORDS_RULE.replace(old, new, 1), "small")


def test_a_factor_given_twice_is_refused():
    factor = SMALL[SMALL.index("[[factor]]") :]
    with pytest.raises(CriteriaError, match="small: factor bend stands twice"):
        load(SMALL + factor, "small")


def test_an_unreadable_file_is_refused(tmp_path):
    with pytest.raises(CriteriaError, match=r"none: cannot be read .*check the path"):
        load(tmp_path / "none.toml", "none")
    (tmp_path / "latin.toml").write_bytes('title = "é"'.encode("latin-1"))
    with pytest.raises(CriteriaError, match="latin: not UTF-8 text"):
        load(tmp_path / "latin.toml", "latin")


def test_an_unknown_bundled_set_is_refused_naming_those_there_are():
    with pytest.raises(CriteriaError, match=r"'aae-1066' .*aae-2022"):
        criteria_named("aae-1066")


def test_asking_for_a_factor_that_is_not_there_names_those_that_are():
    with pytest.raises(KeyError, match="no factor bends: this set has bend"):
        load(SMALL, "small").factor("bends")
