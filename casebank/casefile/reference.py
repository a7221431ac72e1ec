"""From a case document to its reference answers, each with its working.

What the anatomy decides is computed; what the author judges comes from the document with the author's reason. Film
readings are judged against the films that were taken, so the reference takes the further views as an argument.
"""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from pathlib import Path

from casebank.casefile.answers import Answers, Desk, ReferenceAnswer
from casebank.casefile.bench_expected import bench
from casebank.casefile.document import Choice, Document
from casebank.casefile.reading import FileRefused, read_document
from casebank.casefile.readings import film_views, read_curvature
from casebank.casefile.stated import facts_of
from casebank.casefile.worked import COMPUTED, SHOWN_BESIDE_A_KEY
from casebank.difficulty import Criteria, Judgement, criteria_named, judge
from casebank.radiograph import View
from casebank.rubric import ChoiceReference, Criterion, Rubric, Task, bundled_framework
from casebank.rubric import bundled as bundled_rubric


@dataclass(frozen=True)
class Reference:
    """All reference answers of a case, by task, with the rubric they answer and the judgement of its difficulty."""

    rubric: Rubric
    criteria: Criteria
    judgement: Judgement
    tasks: tuple[Task, ...]
    answers: Mapping[str, ReferenceAnswer]


def read_case(path: Path) -> tuple[Document, Reference]:
    """A case file's document and reference. FileRefused if either cannot be had, with file, field and what to do."""
    document = read_document(path)
    try:
        return document, derive(document)
    except ValueError as trouble:
        raise FileRefused(f"{path.name}, {trouble}") from trouble


def derive(
    document: Document, *, further: Sequence[View] | None = None, leave_out: frozenset[str] = frozenset()
) -> Reference:
    """Reference answers of a case.

    Parameters
    ----------
    document : Document
    further : sequence of View, optional
        Films taken beside the given ones; without it, those the author names as answering a question.
    leave_out : frozenset of str
        Criteria that are neither asked nor worked out here: a population of teeth that nobody opens needs no openings.

    Raises
    ------
    ValueError
        If the document leaves a task of its rubric without a key, keys one the rubric does not have, names a
        competency that the rubric's framework does not have, or states a fact that its own anatomy decides.
    """
    rubric = bundled_rubric(document.rubric)
    _require_competencies(document, rubric)
    views = film_views(document, further)
    readings = read_curvature(document.anatomy, views)
    criteria = criteria_named(document.criteria)
    judgement = judge(criteria, facts_of(document, readings, criteria))
    desk = Desk(document, rubric, criteria, views, readings, judgement)
    answers: Answers = {}
    for criterion in rubric.criteria:
        answers |= {} if criterion.id in leave_out else _answer(desk, criterion)
    surplus = sorted(
        set(document.choices) - {criterion.id for criterion in rubric.criteria if criterion.kind == "choice"}
    )
    if surplus:
        raise ValueError(
            f"choices.{surplus[0]}: the rubric {rubric.id} has no such choice: remove the key or correct it"
        )
    tasks = rubric.tasks(
        canals=[canal.name for canal in document.anatomy.tooth.canals],
        factors=[factor.id for factor in criteria.factors],
        level_words=criteria.level_words,
    )
    asked = tuple(task for task in tasks if task.criterion.id not in leave_out)
    return Reference(rubric, criteria, judgement, asked, answers)


def _require_competencies(document: Document, rubric: Rubric) -> None:
    try:
        bundled_framework(rubric.framework).require(document.competencies)
    except ValueError as trouble:
        raise ValueError(f"competencies: {trouble}") from trouble


def _answer(desk: Desk, criterion: Criterion) -> Answers:
    """The answers a criterion asks for: one, or one for each canal or factor."""
    if criterion.id in COMPUTED:
        return COMPUTED[criterion.id](desk)
    if criterion.key is not None and criterion.id not in desk.document.choices:
        return {criterion.id: ReferenceAnswer(criterion.key, (criterion.reasons.because,))}
    if criterion.kind == "choice":
        key = _key(desk, criterion)
        beside = SHOWN_BESIDE_A_KEY.get(criterion.id)
        working = (key.because, *(beside(desk) if beside else ()))
        value = ChoiceReference(best=frozenset(key.best), partly=dict(key.partly))
        return {criterion.id: ReferenceAnswer(value, working, unsafe=dict(key.unsafe))}
    if criterion.kind == "bench":
        return bench(desk, criterion)
    raise ValueError(f"rubric {desk.rubric.id}, {criterion.id}: no way to work out this reference is known")


def _key(desk: Desk, criterion: Criterion) -> Choice:
    diagnosis = desk.document.diagnosis
    terms = {"pulpal-diagnosis": diagnosis.pulpal, "apical-diagnosis": diagnosis.apical}
    if criterion.id in terms:
        return Choice(best=(terms[criterion.id],), because=f"Keyed in the {diagnosis.terms}.")
    if criterion.id not in desk.document.choices:
        raise ValueError(f"choices.{criterion.id}: the rubric {desk.rubric.id} asks this: add the author's key")
    return desk.document.choices[criterion.id]
