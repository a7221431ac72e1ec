"""The competency framework that comes with the program, and what a framework's file may not say."""

import pytest

from casebank.rubric import RubricError, bundled, bundled_framework, bundled_names, load_framework

SMALL = """
id = "small"
title = "Small"
source = "Nobody."
note = "Ours."
[levels]
does = "does it"
meets = "has met it"
[[competency]]
id = "films"
level = "does"
title = "Read a film"
[[competency]]
id = "fill"
level = "meets"
title = "Fill a canal"
"""


def test_a_small_framework_loads_in_its_own_order():
    framework = load_framework(SMALL, "small.toml")
    assert framework.ids == ("films", "fill")
    assert [level for level, _ in framework.levels] == ["does", "meets"]
    assert framework.wording("meets") == "has met it"
    assert framework.competencies[1].title == "Fill a canal"


@pytest.mark.parametrize(
    ("old", "new", "words"),
    [
        ('id = "fill"', 'id = "films"', "small.toml, competency films, id: it stands 2 times: give each its own id"),
        ('level = "meets"', 'level = "masters"', "level: 'masters' is not known: write one of does, meets"),
        ('title = "Fill a canal"', "", "small.toml, competency 2.title: missing: add it"),
        ('title = "Fill a canal"', 'title = ""', "competency 2.title: '' is no text"),
        (
            'title = "Fill a canal"',
            'title = "Fill a canal"\nhours = 3',
            "competency 2.hours: this key is not known here: remove",
        ),
        ('note = "Ours."', 'note = "Ours."\nauthor = "x"', "small.toml, author: this key is not known here"),
        ('source = "Nobody."\n', "", "small.toml, source: missing: add it"),
        ('does = "does it"\nmeets = "has met it"', "", "levels: no level: add at least one"),
        ('id = "small"', "id = ", "small.toml: not valid TOML"),
    ],
)
def test_a_fault_is_refused_with_file_competency_and_field(old, new, words):
    assert old in SMALL
    with pytest.raises(RubricError, match=words):
        load_framework(SMALL.replace(old, new, 1), "small.toml")


def test_a_framework_without_a_competency_is_refused():
    with pytest.raises(RubricError, match="needs at least one"):
        load_framework("competency = []\n" + SMALL.partition("[[competency]]")[0], "small.toml")


def test_an_unknown_level_or_framework_is_refused_with_those_there_are():
    with pytest.raises(KeyError, match="it has does, meets"):
        load_framework(SMALL, "small.toml").wording("masters")
    with pytest.raises(ValueError, match="there is no framework 'postgraduate': use one of undergraduate"):
        bundled_framework("postgraduate")


@pytest.mark.parametrize(
    ("ids", "words"),
    [(("films", "drill"), "'drill' is no competency of the framework small"), (("fill", "fill"), "named twice")],
)
def test_ids_that_are_unknown_or_repeated_are_refused(ids, words):
    with pytest.raises(ValueError, match=words):
        load_framework(SMALL, "small.toml").require(ids)


def test_the_undergraduate_framework_expects_to_do_more_than_to_recognise():
    # counted by hand: 19 to be done alone, 8 to be explained, 2 to be recognised
    framework = bundled_framework("undergraduate")
    counts = [sum(one.level == level for one in framework.competencies) for level, _ in framework.levels]
    assert counts == [19, 8, 2]
    assert {one.id for one in framework.competencies if one.level == "recognises"} == {"retreat", "open-apex"}


def test_the_framework_says_what_it_was_shaped_after_and_what_is_ours():
    # ESE undergraduate curriculum guidelines: De Moor et al., Int Endod J 2013;46:1105
    framework = bundled_framework("undergraduate")
    assert "10.1111/iej.12186" in framework.source
    assert "our selection and wording" in framework.note.lower()


def test_every_criterion_exercises_a_competency_of_its_rubric_s_framework():
    for rubric in map(bundled, bundled_names()):
        known = set(bundled_framework(rubric.framework).ids)
        assert all(criterion.competencies for criterion in rubric.criteria)
        assert {one for criterion in rubric.criteria for one in criterion.competencies} <= known
