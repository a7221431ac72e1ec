"""Trying a case document before anything is stored: everything that is wrong with it, not only the first thing."""

from dataclasses import dataclass

from pydantic import ValidationError

from casebank.casefile.consistency import inconsistencies
from casebank.casefile.document import SCHEMA_VERSION, Document
from casebank.casefile.obtainable import never_seen
from casebank.casefile.reading import GREATEST_BYTES, FileRefused, explain, parse_object, wrong_version
from casebank.casefile.reference import Reference, derive
from casebank.casefile.visible_keys import READ_ON_FILMS
from casebank.rubric.feedback import feedback_gaps

LONGEST_TITLE = 200
MOST_ERRORS = 40


@dataclass(frozen=True)
class DryRun:
    """What became of a document that was tried.

    Attributes
    ----------
    document : Document or None
        None if it cannot be read as a case.
    errors : tuple of str
        Why it is no case: each names the file, the field, what is wrong and what to do.
    obstacles : tuple of str
        Why the case cannot be published as it stands: findings, films and keys that contradict each other.
    """

    document: Document | None
    errors: tuple[str, ...] = ()
    obstacles: tuple[str, ...] = ()

    def require_document(self) -> Document:
        """The document. ValueError with the first error if there is none."""
        if self.document is None:
            raise ValueError(self.errors[0])
        return self.document


def dry_run(content: bytes, *, name: str, on_films: bool = True) -> DryRun:  # noqa: PLR0911 one return a way to fail
    """Try a case document; `name` is what the sentences call the file. Never raises for what the bytes hold.

    Whether films can show what is keyed on them takes seconds a case; without `on_films` it is not asked.
    """
    if len(content) > GREATEST_BYTES:
        return DryRun(None, (f"{name}: larger than {GREATEST_BYTES // 1_000_000} MB: make it smaller",))
    try:
        record = parse_object(content, name=name)
    except FileRefused as trouble:
        return DryRun(None, (str(trouble),))
    if record.get("schema_version") != SCHEMA_VERSION:
        return DryRun(None, (wrong_version(record.get("schema_version"), name=name),))
    try:
        document = Document.model_validate_json(content)
    except ValidationError as trouble:
        return DryRun(None, _first_of([f"{name}, {sentence}" for sentence in explain(trouble, record)]))
    if len(document.title) > LONGEST_TITLE or any(ord(letter) < 32 for letter in document.title):
        return DryRun(None, (f"{name}, title: give one line of at most {LONGEST_TITLE} characters",))
    try:
        reference = derive(document)
    except ValueError as trouble:
        return DryRun(None, (f"{name}, {trouble}",))
    found = [*inconsistencies(document), *_gaps(reference), *(never_seen(document) if on_films else ())]
    return DryRun(document, obstacles=_first_of([f"{name}, {sentence}" for sentence in found]))


def _gaps(reference: Reference) -> list[str]:
    """What the feedback on its tasks could not show: a task without place, size or reason teaches little."""
    return [
        gap
        for task in reference.tasks
        for gap in feedback_gaps(task, reference.answers[task.id], read_on_film=task.criterion.id in READ_ON_FILMS)
    ]


def _first_of(sentences: list[str]) -> tuple[str, ...]:
    """The first so many sentences, and how many more there are."""
    more = len(sentences) - MOST_ERRORS
    return (*sentences[:MOST_ERRORS], *([f"and {more} more: correct these first"] if more > 0 else []))
