"""What is asked of films is held to the films a student had: where they cannot tell, saying so is right.

A number that agrees keeps its credit whatever the films show: nobody can know what it rests on. Nothing is worked out
for it, as a view that is new costs half a second.
"""

from collections.abc import Mapping

from assess.log import FilmTaken, Stage, State
from casebank.casefile import Document, Reference
from casebank.casefile.obtainable import view_in_words, view_that_would_show
from casebank.casefile.readings import film_views
from casebank.casefile.stated import pins_for
from casebank.casefile.visible_keys import Shown, judged_as_shown, shown_key
from casebank.radiograph import View
from casebank.radiograph.sight import THRESHOLD
from casebank.rubric import LevelReference, LevelSaid, Said, Task, Verdict, compare

Views = Mapping[int, View]

FORM = "canal-form"  # the factor whose level rests on how films show canals and roots
FORM_LEVELS = (f"difficulty-levels.{FORM}", "overall")


def view_of(film: FilmTaken) -> View:
    return View(horizontal_deg=film.horizontal_deg, vertical_deg=film.vertical_deg)


def views_had(document: Document, state: State, stage: Stage) -> Views:
    """The case's own films and those taken up to the end of a stage, by number."""
    stages = tuple(Stage)
    until = stages[: stages.index(stage) + 1]
    return film_views(document, [view_of(film) for film in state.films if film.stage in until])


def cannot_tell(task: Task, document: Document, views: Views) -> tuple[Verdict, bool]:
    """What saying that the films cannot tell earns, and whether they could tell after all."""
    shown = shown_key(document, task.id, views)
    if shown.doubtful:
        why = (
            "You said that these films cannot tell. What it rests on stands at the very edge of what a film shows "
            f"({shown.figure:.1f}, where about {THRESHOLD:g} are needed), so that counts in full, as a right reading "
            "does."
        )
        return Verdict(1.0, why, 0), True
    if shown.seen:
        why = f"You said that these films cannot tell. They can: {_small(shown.why)} Look at {shown.where}."
        return Verdict(0.0, why), True
    return Verdict(1.0, f"You said that these films cannot tell. {_why_not(task, document, views, shown)}", 0), False


def read_on_films(task: Task, plain: Verdict, document: Document, views: Views) -> tuple[Verdict, bool]:
    """A reading that departs, with why these films could not tell it if they could not; and whether they could."""
    shown = shown_key(document, task.id, views)
    if shown.seen or shown.doubtful:
        return plain, True
    why = f"{plain.why} {_why_not(task, document, views, shown)} To say so would have counted in full."
    return Verdict(plain.credit, why, plain.leaning), False


def level_on_films(
    task: Task, said: Said, plain: Verdict, document: Document, reference: Reference, views: Views
) -> Verdict:
    """A level that was compared; one that follows from what the films show of canals and roots counts as well."""
    true = reference.answers[task.id].value
    if not isinstance(said, LevelSaid) or not isinstance(true, LevelReference) or said.level == true.level:
        return plain
    judged = judged_as_shown(document, views)
    if judged is None:
        return plain
    if task.id == "overall":
        from_films = LevelReference(judged.overall.level)
    else:
        factor = judged.factor(FORM)
        from_films = LevelReference(factor.level, pins_for(document, reference.criteria, factor, list(views)))
    if said.level != from_films.level:
        return plain
    verdict = compare(task.criterion, said, from_films)
    note = (
        "That reference is what your films show; what calls for another level in the tooth itself is on none of them."
    )
    return Verdict(verdict.credit, f"{verdict.why} {note}", verdict.leaning)


def _why_not(task: Task, document: Document, views: Views, shown: Shown) -> str:
    """Why these films cannot tell, and which other one would have."""
    better = view_that_would_show(document, task.id, views)
    would = (
        f"A film with {view_in_words(better)} would have shown it."
        if better
        else "No other film that can be taken of this case would have shown it."
    )
    return f"They cannot: {_small(shown.why)} {would}"


def _small(sentence: str) -> str:
    return f"{sentence[:1].lower()}{sentence[1:]}"
