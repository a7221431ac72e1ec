"""A criteria set from TOML: complete, sourced and free of contradiction, or refused in one sentence."""

import hashlib
import tomllib
from pathlib import Path

from casebank.difficulty.angles import angle_methods
from casebank.difficulty.case_entries import case_rule_from, points_from
from casebank.difficulty.criteria import Angle, Criteria
from casebank.difficulty.factor_entries import Sources, basis, factor_from
from casebank.difficulty.tables import CriteriaError, Table
from casebank.difficulty.vocabulary import Vocabulary, facts_in, known_facts

MOST_LEVELS = 3  # a rubric compares a level with its neighbours and with one beyond


def load(path_or_text: Path | str, name: str) -> Criteria:
    """A criteria set from a file (a Path) or from TOML text (a str).

    Parameters
    ----------
    path_or_text : Path or str
    name : str
        What the set, and any message about it, is called.

    Raises
    ------
    CriteriaError
        If the text is no TOML, a key is missing, unknown or of the wrong kind, a source or status is missing, bands
        overlap or leave a gap, a fact is not known, or a value has no level or two.
    """
    try:
        text = path_or_text.read_text(encoding="utf-8") if isinstance(path_or_text, Path) else path_or_text
        top = Table(tomllib.loads(text), name)
    except tomllib.TOMLDecodeError as trouble:
        raise CriteriaError(f"{name}: not valid TOML ({trouble}): correct it there") from trouble
    except OSError as trouble:
        raise CriteriaError(f"{name}: cannot be read ({trouble.strerror}): check the path") from trouble
    except UnicodeDecodeError as trouble:
        raise CriteriaError(f"{name}: not UTF-8 text: save it as UTF-8") from trouble
    criteria = _criteria(top, name, hashlib.sha256(text.encode()).hexdigest())
    top.done()
    return criteria


def _criteria(top: Table, name: str, sha256: str) -> Criteria:
    sources = top.named_texts("sources")
    levels = top.texts("levels")
    if len(levels) < 2:
        raise top.refuse("levels", "one level tells nothing apart: give at least two, the lowest first")
    if len(levels) > MOST_LEVELS:
        raise top.refuse("levels", f"{len(levels)} levels: give two or three, the lowest first")
    groups = top.texts("groups")
    vocabulary = _vocabulary(top)
    angle = _angle(top.table("angle"), sources)
    points = points_from(top.table("points"), sources, levels) if "points" in top else None
    rule_table = top.table("case_rule")
    factors = tuple(
        factor_from(table, name, sources, levels, groups, vocabulary) for table in top.tables("factor", "factor")
    )
    names = [factor.id for factor in factors]
    if twice := next((one for one in names if names.count(one) > 1), None):
        raise CriteriaError(f"{name}: factor {twice} stands twice: keep one or rename it")
    return Criteria(
        name=name,
        title=top.text("title"),
        body=top.text("body"),
        edition=top.text("edition"),
        levels=levels,
        groups=groups,
        angle=angle,
        case_rule=case_rule_from(rule_table, sources, levels, names, points),
        points=points,
        factors=factors,
        vocabulary=vocabulary,
        sha256=sha256,
    )


def _vocabulary(top: Table) -> Vocabulary:
    """The facts all sets share, with those this one adds under `facts`."""
    if "facts" not in top:
        return known_facts()
    own = facts_in(table := top.table("facts"))
    if taken := [fact for fact in own if fact in known_facts()]:
        raise table.refuse(taken[0], "all sets share a fact of this name: give yours another")
    return {**known_facts(), **own}


def _angle(table: Table, sources: Sources) -> Angle:
    source, status = basis(table, sources)
    method = table.one_of("method", tuple(method.id for method in angle_methods().methods))
    angle = Angle(angle_methods().method(method), table.text("construction"), table.text("taken_on"), source, status)
    table.done()
    return angle
