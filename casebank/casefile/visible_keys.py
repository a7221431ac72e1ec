"""What of a case's keys could be seen on the films a student had: where nothing could, "cannot tell" is right.

A key that rests on a film stands only if the thing can be seen in a view that was taken. Each judgement here names the
films it holds for; the 3-D truth is shown afterwards, apart.
"""

from collections.abc import Callable, Mapping
from dataclasses import dataclass, replace
from itertools import combinations

from casebank.anatomy import Anatomy
from casebank.casefile.document import Document
from casebank.casefile.film_figures import bend_figure, canal_figures, figure_of
from casebank.casefile.readings import read_curvature, tip_on_film_mm
from casebank.casefile.stated import facts_of
from casebank.difficulty import Judgement, Measured, Stated, criteria_named, judge
from casebank.difficulty.canal_form import division, is_s_shaped, root_number
from casebank.radiograph import View
from casebank.radiograph.features import Feature, features_of
from casebank.radiograph.sight import THRESHOLD
from casebank.radiograph.visibility import canals_in, thirds, visible

DOUBT_FROM, DOUBT_TO = 4.5, 5.5  # about the threshold of 5 one reader sees what another does not: teaching choice

UNSEEN_VALUES = {
    "canal_shape": "straight or bent one way",
    "canal_division": "none",
    "pulp_stones": "none",
    "resorption": "none",
    "root_number": "as usual",
    "lesion": "none",
}


@dataclass(frozen=True)
class Shown:
    """Whether a key could be seen.

    Attributes
    ----------
    films : tuple of int
        Numbers of the films that show it.
    why : str
        One sentence, for the feedback.
    where : str
        What to look at and on which film, as a clause; empty where no film shows it.
    figure : float
        How plainly the films show the faintest thing the key rests on, on the scale of Rose's criterion.
    """

    films: tuple[int, ...]
    why: str
    where: str = ""
    figure: float = 0.0

    @property
    def seen(self) -> bool:
        """Whether any film shows it; if none does, the right answer is that these views cannot tell."""
        return bool(self.films)

    @property
    def doubtful(self) -> bool:
        """Whether the figure lies so near the threshold that seeing it or not are both sound."""
        return DOUBT_FROM <= self.figure <= DOUBT_TO


def shown_keys(document: Document, views: Mapping[int, View]) -> dict[str, Shown]:
    """For each task that is keyed on films, by its name: whether the films of an attempt could show its key.

    Tasks: the count of canals, the strongest bend, the root's tip, and each factor of difficulty whose level rests on
    something a film has to show. A task that is missing here does not rest on films.
    """
    return {task: shown_key(document, task, views) for task in READ_ON_FILMS} | _factors(document, views)


def shown_key(document: Document, task: str, views: Mapping[int, View]) -> Shown:
    """Whether the films could show the key of one of the tasks READ_ON_FILMS. KeyError for any other."""
    return READ_ON_FILMS[task](document, views)


def canals_shown(anatomy: Anatomy, views: Mapping[int, View]) -> tuple[str, ...]:
    """The canals that at least one film lets a reader count, in the anatomy's order."""
    figures = [canal_figures(anatomy, view) for view in views.values()]
    counted = {name for each in figures for name, figure in each.items() if figure >= THRESHOLD}
    return tuple(canal.name for canal in anatomy.tooth.canals if canal.name in counted)


def shown_facts(anatomy: Anatomy, views: Mapping[int, View]) -> dict[str, Shown]:
    """For each fact of difficulty that a film has to show and that is out of the ordinary: whether one does."""
    shown = form_facts_shown(anatomy, views)
    for kind, fact in (("lesion", "lesion"), ("stone", "pulp_stones"), ("resorption", "resorption")):
        there = [feature for feature in features_of(anatomy) if feature.kind == kind]
        if there:
            seen = {number for one in there for number in _by_film(anatomy, views, one).films}
            shown[fact] = _said(sorted(seen), "it stands out")
    return shown


def form_facts_shown(anatomy: Anatomy, views: Mapping[int, View]) -> dict[str, Shown]:
    """The same for the form of canals and roots alone: bend, S-shape, division and number of roots."""
    tooth = anatomy.tooth
    shown = {"seen_curvature_deg": _bend_of(anatomy, views)}
    s_shaped = [canal.name for canal in tooth.canals if is_s_shaped(canal.course)]
    if s_shaped:
        whole = [number for number, view in views.items() if any(_whole(anatomy, view, name) for name in s_shaped)]
        shown["canal_shape"] = _said(whole, "both bends of the canal can be followed")
    pairs = [(one.name, other.name) for one, other in combinations(tooth.canals, 2) if one.root == other.root]
    if division(tooth)[0] != "none":
        parted = [number for number, view in views.items() if any(_both(anatomy, view, *pair) for pair in pairs)]
        shown["canal_division"] = _said(parted, "two canals of one root lie beside each other")
    if root_number(tooth) != "as usual":
        tips = [Feature("apex", root.name) for root in tooth.roots]
        told = [number for number, view in views.items() if all(visible(anatomy, view, tip).seen for tip in tips)]
        shown["root_number"] = _said(told, "every root's end can be told")
    return shown


def judged_as_shown(document: Document, views: Mapping[int, View]) -> Judgement | None:
    """The difficulty with canals and roots formed as these films show them; none if the films show all of it."""
    shown = form_facts_shown(document.anatomy, views)
    hidden = {fact for fact, one in shown.items() if not one.seen or one.doubtful}
    if not hidden:
        return None
    criteria = criteria_named(document.criteria)
    facts = facts_of(document, read_curvature(document.anatomy, views), criteria)
    return judge(criteria, _without(facts, hidden))


def _factors(document: Document, views: Mapping[int, View]) -> dict[str, Shown]:
    """Factors whose level would be another one, were what these films do not show not there."""
    criteria = criteria_named(document.criteria)
    facts = facts_of(document, read_curvature(document.anatomy, views), criteria)
    shown = shown_facts(document.anatomy, views)
    out: dict[str, Shown] = {}
    true = judge(criteria, facts)
    for factor, known in zip(criteria.factors, true.factors, strict=True):
        read = {rule.fact for rule in factor.rules if rule.fact in shown and _measured(facts.get(rule.fact))}
        without = judge(criteria, _without(facts, read)).factor(factor.id).level
        if not read or without == known.level:
            continue  # the level does not rest on what films have to show
        seen = judge(criteria, _without(facts, {fact for fact in read if not shown[fact].seen})).factor(factor.id)
        films = sorted({number for fact in read for number in shown[fact].films})
        out[f"difficulty-levels.{factor.id}"] = (
            _said(films, "what decides the level stands out") if seen.level == known.level else _said([], "")
        )
    return out


def _without(facts: Mapping[str, Stated | Measured], hidden: set[str]) -> dict[str, Stated | Measured]:
    left: dict[str, Stated | Measured] = {}
    for name, fact in facts.items():
        if name not in hidden or not isinstance(fact, Measured):
            left[name] = fact
        elif name in UNSEEN_VALUES:
            left[name] = replace(fact, value=UNSEEN_VALUES[name])
    return left


def _measured(fact: Stated | Measured | None) -> bool:
    return isinstance(fact, Measured)


def _count(document: Document, views: Mapping[int, View]) -> Shown:
    """Every canal counts on one film or another; the faintest of them decides."""
    anatomy = document.anatomy
    names = [canal.name for canal in anatomy.tooth.canals]
    on = {number: canal_figures(anatomy, view) for number, view in views.items()}
    best = {name: max(figures[name] for figures in on.values()) for name in names}
    figure = min(best.values())
    if figure < THRESHOLD:
        counted = sum(one >= THRESHOLD for one in best.values())
        return Shown((), f"These films show {counted} of {len(names)} canals apart.", figure=figure)
    adding = [number for number, figures in on.items() if max(figures.values()) >= THRESHOLD]
    plainest = {name: max(on, key=lambda number: on[number][name]) for name in names}
    places = [
        f"{_listed([name for name in names if plainest[name] == number])} on film {number}"
        for number in adding
        if number in plainest.values()
    ]
    said = _said(adding, "every canal can be counted on one film or another")
    return replace(said, where="; ".join(places), figure=figure)


def _bend(document: Document, views: Mapping[int, View]) -> Shown:
    return _bend_of(document.anatomy, views)


def _bend_of(anatomy: Anatomy, views: Mapping[int, View]) -> Shown:
    """The films on which a canal that may be keyed as the most curved can be followed to the end of its root."""
    on = {number: bend_figure(anatomy, view) for number, view in views.items()}
    films = [number for number, shown in on.items() if shown.figure >= THRESHOLD]
    best = max(on, key=lambda number: on[number].figure)
    said = _said(films, "the canal can be followed from its orifice to the end of its root")
    return replace(said, where=f"canal {on[best].canal} on film {best}" if films else "", figure=on[best].figure)


def _tip(document: Document, views: Mapping[int, View]) -> Shown:
    """The films on which the marked root's end stands out."""
    tip = Feature("apex", document.marked_root)
    said = _by_film(document.anatomy, views, tip)
    on = {number: figure_of(document.anatomy, view, tip) for number, view in views.items()}
    best = max(on, key=lambda number: on[number])
    if not said.seen:
        return replace(said, figure=on[best])
    across, down = tip_on_film_mm(document, views[best])
    side, height = "right" if across > 0 else "left", "below" if down > 0 else "above"
    place = f"{abs(across):.1f} mm {side} of the middle of film {best} and {abs(down):.1f} mm {height} it"
    return replace(said, where=place, figure=on[best])


def _by_film(anatomy: Anatomy, views: Mapping[int, View], feature: Feature) -> Shown:
    sights = {number: visible(anatomy, view, feature) for number, view in views.items()}
    seen = [number for number, sight in sights.items() if sight.seen]
    plainest = max(sights.values(), key=lambda sight: sight.figure)
    return _said(seen, "it stands out", f"It {plainest.why}.")


def _whole(anatomy: Anatomy, view: View, name: str) -> bool:
    return canals_in(anatomy, view)[name].seen and all(third.seen for third in thirds(anatomy, view, name))


def _both(anatomy: Anatomy, view: View, first: str, second: str) -> bool:
    counted = canals_in(anatomy, view)
    return counted[first].seen and counted[second].seen


def _said(films: list[int], when_seen: str, otherwise: str = "") -> Shown:
    if not films:
        return Shown((), otherwise or "None of these films shows it, so they cannot tell.")
    *first, last = (str(number) for number in films)
    numbers = f"films {', '.join(first)} and {last}" if first else f"film {last}"
    return Shown(tuple(films), f"On {numbers} {when_seen}.")


def _listed(names: list[str]) -> str:
    *first, last = names
    return f"{', '.join(first)} and {last}" if first else last


READ_ON_FILMS: dict[str, Callable[[Document, Mapping[int, View]], Shown]] = {
    "canal-count": _count,
    "curvature": _bend,
    "apex-mark": _tip,
}
