"""Further films that answered no question of the case: a small cost, as every exposure needs a reason."""

from assess.log import FilmTaken, Stage, State
from casebank.casefile import Document

NEAR_DEG = 10.0  # a tube turned this near to a wanted angle shows what that angle shows: a teaching choice
BEFORE_FILES = frozenset({Stage.LOOK, Stage.WEIGH, Stage.OPEN})
VIEWS_DEG = {"mesial-20": (20.0, 0.0), "distal-20": (-20.0, 0.0), "steeper-20": (0.0, 20.0)}
"""The further views a case may key, by the option's name: horizontal and vertical angle of the tube."""


def extra_films(document: Document, state: State) -> int:
    """How many further films answered no question: other views than the author's, a view again, or many with files.

    Once files are in the tooth one film for each canal is not counted: which it needs the views cannot say.
    """
    wanted = [(angle, 0.0) for angle in document.further_films_deg]
    key = document.choices.get("further-view")
    if key is not None:
        wanted += [view for option, view in VIEWS_DEG.items() if option in (*key.best, *key.partly)]
    extra = 0
    for film in (film for film in state.films if film.stage in BEFORE_FILES):
        answered = [view for view in wanted if _is_near(film, view)]
        wanted = [view for view in wanted if view not in answered]
        extra += not answered
    with_files = sum(film.stage not in BEFORE_FILES for film in state.films)
    return extra + max(0, with_files - len(document.anatomy.tooth.canals))


def _is_near(film: FilmTaken, view: tuple[float, float]) -> bool:
    return abs(film.horizontal_deg - view[0]) <= NEAR_DEG and abs(film.vertical_deg - view[1]) <= NEAR_DEG
