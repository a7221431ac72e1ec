"""The six stage pages. Each can be shown again with what was wrong in a form that was sent from it."""

from dataclasses import replace
from functools import partial
from typing import Any

from django.http import HttpResponse
from django.shortcuts import redirect
from django.utils import timezone
from django.utils.translation import gettext as _

from assess import policies
from assess.actions.licensing import licence_held
from assess.forms import SelfGradeForm
from assess.grading.fits import tasks_of
from assess.log import Stage
from assess.presenting import chart
from assess.presenting.asking import questions, with_trouble
from assess.presenting.bench_results import chair_words, unweighed
from assess.presenting.benches import bench_of
from assess.presenting.benchside import benchside
from assess.presenting.charting import charted
from assess.presenting.comparing import comparison, reference_of
from assess.presenting.crowns import crown_map
from assess.presenting.leaving import left_tooth
from assess.presenting.length_films import length_films
from assess.presenting.licensing import licences_shown
from assess.presenting.opening_feedback import opening_feedback
from assess.presenting.regraded import graded_again
from assess.presenting.side_by_side import tutors_marks
from assess.presenting.weighing import weighing
from assess.views.desk import Desk, desk, require_begun

Wrong = dict[str, Any]


@desk("GET")
def look(desk: Desk) -> HttpResponse:
    return stage_page(desk, Stage.LOOK)


@desk("GET")
def weigh(desk: Desk) -> HttpResponse:
    return stage_page(desk, Stage.WEIGH)


@desk("GET")
def open_tooth(desk: Desk) -> HttpResponse:
    return stage_page(desk, Stage.OPEN)


@desk("GET")
def shape(desk: Desk) -> HttpResponse:
    return stage_page(desk, Stage.SHAPE)


@desk("GET")
def fill(desk: Desk) -> HttpResponse:
    return stage_page(desk, Stage.FILL)


@desk("GET")
def compare(desk: Desk) -> HttpResponse:
    """The student's own estimate first, then the marks of their own words; what it came to only after that."""
    require_begun(desk, Stage.COMPARE)
    if policies.may_see_results(desk.user, desk.attempt, desk.state, now=timezone.now()):
        return _results(desk)
    if desk.state.is_settled and desk.state.to_mark and desk.state.open_stage is Stage.COMPARE:
        return redirect("mark-own", desk.attempt.public_id)
    if desk.state.is_settled:
        return desk.show(Stage.COMPARE, "assess/kept_back.html", {"kept_words": desk.kept_words()})
    return self_grade_page(desk, SelfGradeForm())


def stage_page(desk: Desk, stage: Stage, wrong: Wrong | None = None) -> HttpResponse:
    """The page of one stage before Compare. `wrong` is what was refused: `task`, `sentence` and `sent`, or a move."""
    require_begun(desk, stage)
    wrong = wrong or {}
    asked = [
        with_trouble(one, wrong["sentence"], wrong["sent"]) if wrong.get("task") == one.id else one
        for one in questions(desk.document, desk.state, stage, desk.attempt.seed)
    ]
    held = partial(licence_held, student=desk.attempt.student, assigned=desk.attempt.assigned)
    licences = licences_shown(desk.document, desk.state, stage, held, at_work=desk.may_work_in(stage))
    asked = [replace(one, licence=licences.get(one.id)) for one in asked]
    more = {"questions": asked, **CONTENTS[stage](desk, wrong)}
    return desk.show(stage, f"assess/{stage.value}.html", more, status=400 if wrong else 200)


def self_grade_page(desk: Desk, form: SelfGradeForm) -> HttpResponse:
    return desk.show(Stage.COMPARE, "assess/self_grade.html", {"form": form}, status=400 if form.errors else 200)


def _look(desk: Desk, wrong: Wrong) -> dict[str, Any]:
    films = desk.films()
    wanted = desk.request.GET.get("film", "")
    return {
        "films": films,
        "film": desk.quickly(next((film for film in films if str(film.number) == wanted), films[0])),
        "shown": chart.shown(desk.document, desk.state),
        "askable": chart.askable(desk.document, desk.state),
        "minutes": chart.minutes_used(desk.document, desk.state),
        "film_trouble": wrong.get("film", ""),
        "reason": wrong.get("reason", ""),
        "tube": wrong.get("tube", ""),
    }


def _weigh(desk: Desk, wrong: Wrong) -> dict[str, Any]:
    troubles = {wrong["task"]: wrong["sentence"]} if "task" in wrong else {}
    return {"weighing": weighing(desk.document, desk.state, troubles), **_evidence(desk)}


def _open(desk: Desk, wrong: Wrong) -> dict[str, Any]:
    draws = any(task.criterion.kind == "outline" for task in tasks_of(desk.document))
    return {"draws_outline": draws, "crown_map": "" if draws else crown_map(desk.document), **_evidence(desk)}


def _evidence(desk: Desk) -> dict[str, Any]:
    """Films and findings to look at again in a later stage."""
    return {"films": desk.films(), "shown": chart.shown(desk.document, desk.state)}


def _at_the_bench(stage: Stage) -> Any:
    def bench(desk: Desk, wrong: Wrong) -> dict[str, Any]:
        canal = wrong.get("canal") or desk.request.GET.get("canal", "")
        replayed = bench_of(desk.attempt.edition.sha256, desk.document, desk.state)
        side = benchside(
            replayed,
            desk.state,
            stage,
            canal=canal,
            kind=wrong.get("kind") or desk.request.GET.get("tool", ""),
            typed=wrong.get("typed"),
            trouble=wrong.get("move", ""),
        )
        taken = length_films(desk.document, replayed, lambda number: desk.address("length-picture", number))
        return {"bench": side, "films": desk.films(), "length_films": taken}

    return bench


CONTENTS = {
    Stage.LOOK: _look,
    Stage.WEIGH: _weigh,
    Stage.OPEN: _open,
    Stage.SHAPE: _at_the_bench(Stage.SHAPE),
    Stage.FILL: _at_the_bench(Stage.FILL),
}


def _results(desk: Desk) -> HttpResponse:
    state, grade = desk.state, desk.attempt.grades.standing().get()
    edition = desk.attempt.edition.case.editions.get(sha256=grade.edition_sha256)
    sha256, document = edition.sha256, edition.document
    reference = reference_of(sha256, document, state)
    films = {film.number: film for film in desk.films()}
    bench = bench_of(sha256, document, state)
    more = {
        "comparison": comparison(document, state, reference, grade.result, films, tutors_marks(desk.attempt)),
        "chair": chair_words(grade.result),
        "unweighed": unweighed(grade.result),
        "may_mark": policies.may_mark_words(desk.user, desk.attempt),
        "volume": grade.result.get("volume"),
        "opening": opening_feedback(document, state),
        "left": left_tooth(document, state, bench),
        "charts": [charted(bench, document, state, canal) for canal in bench.canals],
        "graded_at": grade.graded_at,
        "graded_by": edition,
        "graded_again": graded_again(grade),
        "note": "" if desk.reading else _("Your answers are fixed. You can work the case again from its own page."),
    }
    return desk.show(Stage.COMPARE, "assess/compare.html", more)
