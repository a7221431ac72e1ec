"""The criteria sets there are: those that come with the program, and a school's own from a folder it names.

A set that was published never changes, since old grades name it: whoever alters one gives the file a new name. A set is
read once a process; its hash is printed wherever sets are listed, so that a change shows.
"""

import re
from functools import cache
from importlib import resources
from importlib.resources.abc import Traversable
from pathlib import Path

from casebank.difficulty.criteria import Criteria
from casebank.difficulty.loading import load
from casebank.difficulty.tables import CriteriaError

NAME = re.compile(r"[a-z0-9]+(-[a-z0-9]+)*")  # as a case file names it

_folders: list[Path] = []


def use_folder(folder: Path | None) -> None:
    """Read a school's own sets from a folder, beside the bundled ones; none for those alone."""
    _folders[:] = [folder] if folder else []
    criteria_named.cache_clear()


def criteria_names() -> tuple[str, ...]:
    """Names of all sets: the bundled ones first. CriteriaError if a school's file cannot be named in a case."""
    return (*_bundled(), *_own())


@cache
def criteria_named(name: str) -> Criteria:
    """The set of that name. CriteriaError if there is none, naming those there are, or if its file is wrong."""
    bundled, own = _bundled(), _own()
    if name not in {**bundled, **own}:
        raise CriteriaError(f"no criteria set {name!r} is known here: use one of {', '.join((*bundled, *own))}")
    return load(bundled[name].read_text(encoding="utf-8"), name) if name in bundled else load(own[name], name)


def criteria_sets() -> tuple[Criteria, ...]:
    """Every set. CriteriaError for the first that is wrong, with its file and field."""
    return tuple(criteria_named(name) for name in criteria_names())


@cache
def _bundled() -> dict[str, Traversable]:
    folder = resources.files("casebank.difficulty") / "criteria"
    files = {entry.name.removesuffix(".toml"): entry for entry in folder.iterdir() if entry.name.endswith(".toml")}
    return dict(sorted(files.items()))


def _own() -> dict[str, Path]:
    found: dict[str, Path] = {}
    for folder in _folders:
        for path in sorted(folder.glob("*.toml")):
            if not NAME.fullmatch(path.stem):
                raise CriteriaError(f"{path.name}: name it in small letters, digits and single hyphens, as cases do")
            if path.stem in _bundled():
                raise CriteriaError(f"{path.name}: a set of this name comes with the program: give yours another name")
            found[path.stem] = path
    return found
