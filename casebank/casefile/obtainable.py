"""The views that can be had of a case, and what of its keys none of them shows.

A key that no film could ever show has nothing to be read from; a case that rests on one is not published. A count of
canals is another matter: where no film parts them all, that it cannot be told is itself an answer.
"""

from collections.abc import Iterator, Mapping

from casebank.anatomy import Anatomy
from casebank.casefile.document import Document
from casebank.casefile.film_figures import bend_figure, figure_of
from casebank.casefile.readings import film_views
from casebank.casefile.visible_keys import READ_ON_FILMS, shown_key
from casebank.radiograph import Receptor, View, aim
from casebank.radiograph.features import Feature, lesion_names
from casebank.radiograph.sight import THRESHOLD

OBTAINABLE = (View(), View(20.0), View(-20.0), View(vertical_deg=15.0), View(vertical_deg=-15.0))
"""Straight, and every place for the tube that a student is offered."""


def views_to_have(document: Document) -> tuple[View, ...]:
    """The case's own films and those its author names, then every other that a student can take of this tooth."""
    views = dict.fromkeys((*film_views(document, None).values(), *OBTAINABLE))
    return tuple(view for view in views if _can_be_taken(document.anatomy, view))


def view_that_would_show(document: Document, task: str, views: Mapping[int, View]) -> View | None:
    """The first view that, taken beside the films there are, would show the key of a task; none if none would."""
    had, number = set(views.values()), max(views, default=0) + 1
    others = (view for view in views_to_have(document) if view not in had)
    return next((view for view in others if shown_key(document, task, {**views, number: view}).seen), None)


def is_never_shown(document: Document, task: str) -> bool:
    """Whether all views to be had leave the key of a task unseen; the right answer to it is then "cannot tell"."""
    seen: dict[int, View] = {}
    for number, view in enumerate(views_to_have(document), 1):
        seen[number] = view
        if shown_key(document, task, seen).seen:
            return False  # a view costs half a second, so no more are looked at than are needed
    return True


def never_seen(document: Document) -> Iterator[str]:
    """One sentence for each key, but the count of canals, that no view to be had shows: the field and what to do."""
    anatomy, root, views = document.anatomy, document.marked_root, views_to_have(document)
    if not any(bend_figure(anatomy, view).figure >= THRESHOLD for view in views):
        yield (
            "anatomy.tooth.canals: no film that can be taken shows the most curved canal to the end of its root, so "
            "its bend cannot be keyed: widen that canal, or change what lies over it"
        )
    if not _shown(anatomy, Feature("apex", root), views):
        yield (
            f"marked_root: no film that can be taken shows the end of root {root}, so it cannot be marked: mark "
            "another root, or change what lies over this one"
        )
    for number, name in enumerate(lesion_names(anatomy)):
        if not _shown(anatomy, Feature("lesion", name), views):
            yield (
                f"anatomy.lesions[{number}]: no film that can be taken shows this lesion of root "
                f"{anatomy.lesions[number].root}: make it larger, let it open a cortical plate, or leave it out"
            )


def warm_figures(document: Document) -> None:
    """Find once what each view to be had shows of the keys, for whatever this process grades later."""
    views = dict(enumerate(views_to_have(document), 1))
    for task in READ_ON_FILMS:
        shown_key(document, task, views)


def view_in_words(view: View) -> str:
    """Where the tube stands.

    >>> view_in_words(View()), view_in_words(View(20.0)), view_in_words(View(vertical_deg=-15.0))
    ('the tube straight', 'the tube moved 20° mesially', 'the tube lowered 15°')
    """
    words = []
    if view.horizontal_deg:
        words.append(f"moved {abs(view.horizontal_deg):g}° {'mesially' if view.horizontal_deg > 0 else 'distally'}")
    if view.vertical_deg:
        words.append(f"{'raised' if view.vertical_deg > 0 else 'lowered'} {abs(view.vertical_deg):g}°")
    return f"the tube {' and '.join(words) or 'straight'}"


def _shown(anatomy: Anatomy, feature: Feature, views: tuple[View, ...]) -> bool:
    return any(figure_of(anatomy, view, feature) >= THRESHOLD for view in views)


def _can_be_taken(anatomy: Anatomy, view: View) -> bool:
    try:
        aim(view, Receptor(), anatomy)
    except ValueError:
        return False  # its receptor would stand in tooth or bone
    return True
