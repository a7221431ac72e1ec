"""A school's own set: from a folder, without code, or refused with file and field."""

import hashlib

import pytest

from casebank.difficulty import CriteriaError, Measured, criteria_named, criteria_names, judge, load, use_folder

OWN = """
title = "Year 3 choice"
body = "An invented school"
edition = "2026"
levels = ["ours", "theirs"]
groups = ["the person", "the film"]
[sources]
staff = "Decided by the staff of an invented school, 2026"
[facts]
last_in_row = { values = ["no", "yes"] }
[angle]
method = "end tangents"
construction = "Pruett et al. 1997"
taken_on = "the most curved canal"
source = "staff"
status = "teaching choice"
[points]
source = "staff"
status = "teaching choice"
each = { ours = 0, theirs = 3 }
bands = [
    { below = 3, says = "a student may treat it", gives = "ours" },
    { from = 3, says = "it is referred", gives = "theirs" },
]
[case_rule]
kind = "points"
source = "staff"
status = "teaching choice"
[[factor]]
id = "place"
label = "Place"
group = "the person"
cells.ours = { wording = "Another tooth follows", source = "staff", status = "teaching choice" }
cells.theirs = { wording = "The last of its row", source = "staff", status = "teaching choice" }
rules = [{ kind = "words", fact = "last_in_row", label = "last in its row", ours = ["no"], theirs = ["yes"] }]
[[factor]]
id = "bend"
label = "Bend"
group = "the film"
cells.ours = { wording = "Up to 30°", source = "staff", status = "teaching choice" }
cells.theirs = { wording = "More", source = "staff", status = "teaching choice" }
[[factor.rules]]
kind = "bands"
fact = "seen_curvature_deg"
label = "bend"
unit = "deg"
ours = { to = 30 }
theirs = { above = 30 }
gaps = [{ from = 28, to = 30, says = "read as ours until the staff has met" }]
"""
COMPONENTS = """kind = "components"
source = "staff"
status = "teaching choice"
components = [{ name = "roots", factors = ["bend"], modifiers = ["place"] }]
"""
POINTS = 'kind = "points"\nsource = "staff"\nstatus = "teaching choice"\n'


@pytest.fixture
def folder(tmp_path):
    """A school's folder, in use while a test lasts."""
    use_folder(tmp_path)
    yield tmp_path
    use_folder(None)


def test_a_set_in_the_folder_stands_beside_the_bundled_ones(folder):
    (folder / "year-3-2026.toml").write_text(OWN, encoding="utf-8")
    assert criteria_names() == ("aae-2005-2010", "aae-2022", "ese-1992", "rcs-2001", "year-3-2026")
    own = criteria_named("year-3-2026")
    assert own.sha256 == hashlib.sha256(OWN.encode()).hexdigest()
    judged = judge(own, {"seen_curvature_deg": Measured(31.0, "deg", "by hand", "film 1")})
    assert (judged.overall.word, judged.overall.reason) == (
        "theirs",
        "3 points, 3 points or more: theirs under the 2026 rule.",
    )


def test_without_the_folder_the_set_is_not_known(folder):
    (folder / "year-3-2026.toml").write_text(OWN, encoding="utf-8")
    criteria_named("year-3-2026")
    use_folder(None)
    with pytest.raises(CriteriaError, match="no criteria set 'year-3-2026' is known here: use one of aae-2005-2010"):
        criteria_named("year-3-2026")


@pytest.mark.parametrize(
    ("name", "message"),
    [
        ("aae-2022.toml", "aae-2022.toml: a set of this name comes with the program: give yours another name"),
        ("Year 3.toml", "Year 3.toml: name it in small letters, digits and single hyphens"),
    ],
)
def test_a_file_that_no_case_could_name_is_refused(folder, name, message):
    (folder / name).write_text(OWN, encoding="utf-8")
    with pytest.raises(CriteriaError, match=message):
        criteria_names()


def test_a_file_that_cannot_be_read_is_refused(folder):
    (folder / "gone.toml").symlink_to(folder / "nowhere")
    with pytest.raises(CriteriaError, match="gone: cannot be read"):
        criteria_named("gone")


@pytest.mark.parametrize(
    ("old", "new", "message"),
    [
        ('"theirs"]', '"theirs", "hers", "his"]', r"own, levels: 4 levels: give two or three"),
        ('method = "end tangents"', 'method = "by eye"', r"own, angle, method: 'by eye' .*Schneider, end tangents"),
        ("last_in_row = {", "opening = {", r"own, facts, opening: all sets share a fact of this name"),
        ("last_in_row = {", "last = {", r"factor place, rule 1, fact: 'last_in_row' is not known"),
        ('{ values = ["no", "yes"] }', '{ values = ["no"], unit = "mm" }', r"facts, last_in_row: give either unit"),
        ('unit = "deg"', 'unit = "mm"', r"factor bend, rule 1, unit: seen_curvature_deg is given in deg, not in mm"),
        ("above = 30", "above = 31", r"rule 1, seen_curvature_deg: no band holds 30: use from or to"),
        ("above = 30", "from = 30", r"two bands overlap at 30"),
        ("from = 28, to = 30", "from = 28, to = 31", r"the gap 28 to 31° does not lie within one band.*part it"),
        ("from = 28, to = 30", "from = 28, below = 28", r"factor bend, rule 1, gap 1: holds no number"),
        ("says = \"read", "say = \"read", r"rule 1, gap 1, says: missing: add it"),
        ("each = { ours = 0, theirs = 3 }", "each = { ours = 3, theirs = 0 }", r"points: a harder level gives fewer"),
        ("each = { ours = 0, theirs = 3 }", "each = { ours = 0 }", r"points, each, theirs: missing: add it"),
        ("{ from = 3, says", "{ from = 4, says", r"own, points: no band holds 3"),
        ('gives = "ours"', 'gives = "mine"', r"points, band 1, gives: 'mine' .*ours, theirs"),
        (', gives = "ours"', "", r"case_rule: a band of points gives no level: add gives to each"),
        (POINTS, 'kind = "dice"\nsource = "staff"\nstatus = "verified"\n', r"case_rule, kind: 'dice' .*count, points"),
        (POINTS, COMPONENTS.replace('["bend"]', '["bent"]'), r"component 1, factors: no factor bent: use one of place"),
        (POINTS, COMPONENTS.replace('["place"]', '["bend"]'), r"component 1, modifiers: bend is a factor of this"),
        (POINTS, COMPONENTS.replace(', modifiers = ["place"]', ""), r"components: no component uses factor place"),
        (POINTS, COMPONENTS.replace('factors = ["bend"], ', ""), r"component 1, factors: missing"),
        (POINTS, COMPONENTS.replace('name = "roots", ', ""), r"component 1, name: missing"),
        ('label = "Place"', 'label = "Place"\nlevels = ["no", "yes", "more"]', r"factor place, levels: 3 words"),
        (', theirs = ["yes"] }]', ' }]', r"factor place, rule 1, last_in_row: no level for 'yes'"),
        (', ours = ["no"], theirs = ["yes"]', ', ours = ["no", "yes"]', r"place: no rule gives more than ours"),
    ],
)  # fmt: skip
def test_a_faulty_set_is_refused_naming_file_field_and_remedy(old, new, message):
    assert old in OWN
    text = OWN.replace(old, new, 1)
    with pytest.raises(CriteriaError, match=message) as refusal:
        load(text, "own")
    assert str(refusal.value).startswith("own")


def test_points_cannot_give_an_easier_level_for_more():
    text = OWN.replace('gives = "ours"', 'gives = "hers"').replace('gives = "theirs"', 'gives = "ours"')
    text = text.replace('gives = "hers"', 'gives = "theirs"')
    with pytest.raises(CriteriaError, match="own, points: more points give an easier level than fewer"):
        load(text, "own")


def test_a_set_that_counts_by_points_has_to_give_some():
    text = OWN[: OWN.index("[points]")] + OWN[OWN.index("[case_rule]") :]
    with pytest.raises(CriteriaError, match="own, case_rule, kind: points decide and this set gives none"):
        load(text, "own")


def test_components_may_be_a_school_s_own():
    own = load(OWN.replace(POINTS, COMPONENTS), "own")
    judged = judge(own, {})
    assert judged.overall.reason == "Roots ours: ours under the 2026 rule."
