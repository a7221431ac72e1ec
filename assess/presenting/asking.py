"""The questions of a stage, with what was answered so far. Wording comes from the rubric; nothing is preset."""

import random
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace

from django.utils.translation import gettext as _

from assess.grading.fits import tasks_of
from assess.grading.said import said_to
from assess.grading.words import in_words
from assess.log import Answer, Chose, Levelled, Marked, Measured, Outlined, Stage, State
from assess.presenting.chart import Pin, pins
from assess.presenting.films import RECEPTOR
from assess.presenting.licensing import LicenceShown
from assess.presenting.naming import canal_words
from assess.presenting.outlining import outlined_words, outlining
from assess.presenting.telling import Item, places_sent, telling
from casebank.anatomy import usual_canals
from casebank.casefile import Document
from casebank.casefile.visible_keys import READ_ON_FILMS
from casebank.rubric import (
    ChoiceRule,
    Criterion,
    LevelRule,
    MarkRule,
    MeasureReference,
    MeasureRule,
    OrderRule,
    OutlineRule,
    Task,
    WrittenRule,
)

UNITS = {"deg": "°", "mm": "mm", "count": ""}
NO_CANAL = "none"  # "a canal I cannot name": stored as no canal


@dataclass(frozen=True)
class Option:
    """One thing that can be picked."""

    value: str
    words: str
    chosen: bool
    label: str = ""


@dataclass(frozen=True)
class Question:
    """One task as the page asks it.

    Attributes
    ----------
    anchor : str
        Its place on the page, fit for an address.
    most : int
        How many options may be picked, marks set or letters written.
    value : str
        The number given, as text.
    canals, films : tuple of Option
        What may be named beside a number or a mark; empty where nothing has to be named.
    points : tuple of (across, down)
        Marks in millimetres from the film's upper left corner, as text; as many as may be set.
    outline, orifices : str
        Places on the crown's map, one a line, as text; `drawing` is the map, with what was drawn where it is only read.
    items, places, ends : tuple
        What is put in order, shuffled; the places there are; what the first and the last of them mean.
    in_order : tuple of str
        What was put in order so far, from the first place on.
    text : str
        What was written.
    may_not_tell, cannot_tell : bool
        Whether the films may leave it open, and whether the student said that they do.
    said : str
        The answer in words, for reading only.
    trouble : str
        What is wrong with what was sent just now.
    """

    id: str
    anchor: str
    kind: str
    label: str
    ask: str
    of: str
    options: tuple[Option, ...] = ()
    most: int = 1
    unit: str = ""
    step: str = "1"
    method: str = ""
    value: str = ""
    canals: tuple[Option, ...] = ()
    films: tuple[Option, ...] = ()
    points: tuple[tuple[str, str], ...] = ()
    points_px: str = ""
    outline: str = ""
    orifices: str = ""
    drawing: str = ""
    origin: str = ""
    items: tuple[Item, ...] = ()
    places: tuple[str, ...] = ()
    ends: tuple[str, str] = ("", "")
    in_order: tuple[str, ...] = ()
    text: str = ""
    may_not_tell: bool = False
    cannot_tell: bool = False
    licence: LicenceShown | None = None  # of the student's own year, where it bounds what may be planned
    confidence: str = ""
    said: str = ""
    answered: bool = False
    trouble: str = ""


def questions(document: Document, state: State, stage: Stage, seed: int) -> tuple[Question, ...]:
    """Every task of a stage that is answered on the page, in the rubric's order; acts at the bench are not."""
    citable = pins(document, state)
    return tuple(
        question_of(task, document, state, citable, seed)
        for task in tasks_of(document)
        if task.criterion.stage == stage.value and task.criterion.kind != "bench"
    )


def question_of(task: Task, document: Document, state: State, citable: Sequence[Pin], seed: int) -> Question:
    criterion, answer = task.criterion, state.answers.get(task.id)
    bare = Question(
        id=task.id,
        anchor=f"q-{task.id.replace('.', '-')}",
        kind=criterion.kind,
        label=criterion.label,
        ask=criterion.ask,
        of=task.of or "",
        confidence=(answer.confidence or "") if answer else "",
        may_not_tell=task.id in READ_ON_FILMS,
        cannot_tell=isinstance(answer, Measured | Marked) and answer.cannot_tell,
        said=_said(task, document, state, citable),
        answered=answer is not None,
    )
    match criterion.rule:
        case ChoiceRule() as rule:
            return replace(bare, options=_options(rule, answer, document, citable, seed), most=rule.most)
        case LevelRule() as rule:
            chosen = answer.level if isinstance(answer, Levelled) else 0
            words = tuple(Option(str(n), word, n == chosen) for n, word in enumerate(rule.words, 1))
            return replace(bare, options=words)
        case MeasureRule() as rule:
            return _measured(bare, rule, task, answer, document, state)
        case MarkRule() as rule:
            return _marked(bare, rule, answer, document, state)
        case OutlineRule():
            return replace(bare, **outlining(document, answer))
        case OrderRule() | WrittenRule() as rule:
            return replace(bare, **telling(rule, task.id, seed, answer))
        case _:
            raise TypeError(f"{task.id}: a {criterion.kind} is not asked on a page")


def with_trouble(question: Question, sentence: str, sent: Mapping[str, str]) -> Question:
    """A question with what was wrong in what was sent just now, and with what was sent."""
    return replace(
        question,
        trouble=sentence,
        value=sent.get("value", ""),
        outline=sent.get("outline", question.outline),
        orifices=sent.get("orifices", question.orifices),
        items=places_sent(question.items, sent),
        text=sent.get("text", question.text),
    )


def needs_canal(criterion: Criterion) -> bool:
    """Whether a reading must say which canal it is of: the rubric's own examples tell."""
    return criterion.per == "case" and any(
        isinstance(example.reference, MeasureReference) and example.reference.of for example in criterion.examples
    )


def needs_film(criterion: Criterion) -> bool:
    """Whether an answer is read on one film: an angle or a mark."""
    return criterion.kind == "mark" or (isinstance(criterion.rule, MeasureRule) and criterion.rule.unit == "deg")


def film_numbers(document: Document, state: State) -> range:
    return range(1, len(document.films) + len(state.films) + 1)


def canal_menu(document: Document) -> tuple[str, ...]:
    return (*usual_canals(document.anatomy.tooth.number), NO_CANAL)


def _options(
    rule: ChoiceRule, answer: Answer | None, document: Document, citable: Sequence[Pin], seed: int
) -> tuple[Option, ...]:
    chosen = answer.values if isinstance(answer, Chose) else ()
    if rule.options != "case":
        return tuple(Option(value, words, value in chosen) for value, words in rule.options.items())
    return tuple(
        Option(pin.value, pin.words, pin.value in chosen, pin.label) for pin in shuffled(document, citable, seed)
    )


def shuffled(document: Document, citable: Sequence[Pin], seed: int) -> list[Pin]:
    """What can be cited, in an order of this attempt's own; one more finding does not move the others."""
    letters = [finding.letter for finding in document.chart]
    order = random.Random(seed).sample(range(1000), len(letters))
    place = dict(zip(letters, order, strict=True))
    return sorted(citable, key=lambda pin: place.get(pin.value, 1000))


def _measured(
    bare: Question, rule: MeasureRule, task: Task, answer: Answer | None, document: Document, state: State
) -> Question:
    said = answer if isinstance(answer, Measured) else None
    given = said.value if said else None
    canals = _canals(document, said) if needs_canal(task.criterion) else ()
    return replace(
        bare,
        unit=UNITS[rule.unit],
        step="1" if rule.unit == "count" else "0.1",
        method=rule.method,
        value="" if given is None else f"{given:g}",
        canals=canals,
        films=_films(document, state, said.film if said else None) if needs_film(task.criterion) else (),
        points_px=";".join(f"{x:g},{y:g}" for x, y in said.points_px) if said else "",
    )


def _marked(bare: Question, rule: MarkRule, answer: Answer | None, document: Document, state: State) -> Question:
    said = answer if isinstance(answer, Marked) else None
    points = (
        [(f"{x * RECEPTOR.pitch_mm:.2f}", f"{y * RECEPTOR.pitch_mm:.2f}") for x, y in said.points_px] if said else []
    )
    empty = [("", "")] * (rule.most_marks - len(points))
    return replace(
        bare,
        most=rule.most_marks,
        unit="mm",
        films=_films(document, state, said.film if said else None),
        points=(*points, *empty),
    )


def _canals(document: Document, said: Measured | None) -> tuple[Option, ...]:
    chosen = (said.of or NO_CANAL) if said and not said.cannot_tell else ""
    named = (Option(name, canal_words(name), name == chosen) for name in usual_canals(document.anatomy.tooth.number))
    return (*named, Option(NO_CANAL, _("a canal I cannot name"), chosen == NO_CANAL))


def _films(document: Document, state: State, chosen: int | None) -> tuple[Option, ...]:
    numbers = film_numbers(document, state)
    return tuple(
        Option(str(number), _("Film %(number)d") % {"number": number}, number == chosen or len(numbers) == 1)
        for number in numbers
    )


def _said(task: Task, document: Document, state: State, citable: Sequence[Pin]) -> str:
    answer = state.answers.get(task.id)
    match answer:
        case None:
            return ""
        case Outlined():
            return outlined_words(answer)
        case Marked():
            return _marked_words(answer)
        case Chose() if isinstance(task.criterion.rule, ChoiceRule) and task.criterion.rule.options == "case":
            words: Mapping[str, str] = {pin.value: " ".join(filter(None, (pin.label, pin.words))) for pin in citable}
            return "; ".join(words.get(value, value) for value in answer.values)
        case Measured():
            return _measured_words(task, answer, state)
    return in_words(task, said_to(task, state, {}))


def _measured_words(task: Task, answer: Measured, state: State) -> str:
    if answer.cannot_tell:
        return _("I cannot tell from these films")
    said = in_words(task, said_to(task, state, {}))
    return _("%(said)s, on film %(number)d") % {"said": said, "number": answer.film} if answer.film else said


def _marked_words(answer: Marked) -> str:
    if answer.cannot_tell:
        return _("I cannot tell from these films")
    said = "; ".join(
        _("%(across).1f mm across, %(down).1f mm down")
        % {"across": x * RECEPTOR.pitch_mm, "down": y * RECEPTOR.pitch_mm}
        for x, y in answer.points_px
    )
    return _("Film %(number)s: %(places)s") % {"number": answer.film, "places": said}
