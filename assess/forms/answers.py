"""Answers to the tasks of a case, one form a kind."""

import math
from typing import Any, ClassVar

from django import forms
from django.http import QueryDict
from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy

from assess.forms.acts import Act
from assess.forms.fields import NUMBER, PICK, number, pick
from assess.log import State
from assess.presenting.asking import NO_CANAL, canal_menu, film_numbers, needs_canal, needs_film
from assess.presenting.films import RECEPTOR
from casebank.casefile import Document
from casebank.casefile.visible_keys import READ_ON_FILMS
from casebank.rubric import Task

CONFIDENCES = ("unsure", "fairly sure", "sure")
MOST_POINTS = 12


class AnswerForm(Act):
    """Base of every answer to one task."""

    confidence = pick(*CONFIDENCES, required=False)

    def __init__(self, data: QueryDict | dict[str, Any], *, task: Task, document: Document, state: State) -> None:
        super().__init__(data)
        self.task = task
        if needs_canal(task.criterion) and "of" in self.fields:
            self.fields["of"] = pick(*canal_menu(document), sentence=gettext_lazy("Say which canal you measured."))
        if needs_film(task.criterion) and "film" in self.fields:
            films = [str(film) for film in film_numbers(document, state)]
            self.fields["film"] = pick(*films, sentence=gettext_lazy("Say on which film."))

    def fields_of_event(self) -> dict[str, Any]:
        fields = {"task": self.task.id, **self.answer()}
        if self.event != "levelled":
            fields["stage"] = self.task.criterion.stage
        if sure := self.cleaned_data.get("confidence"):
            fields["confidence"] = sure
        return fields

    def answer(self) -> dict[str, Any]:
        raise NotImplementedError


class ChoiceForm(AnswerForm):
    event = "chose"
    values = forms.Field(required=False)

    def clean(self) -> dict[str, Any]:
        data = self.data
        picked = data.getlist("values") if isinstance(data, QueryDict) else data.get("values", [])
        if not picked:
            raise forms.ValidationError(PICK)
        return {**self.cleaned_data, "values": picked}

    def answer(self) -> dict[str, Any]:
        return {"values": self.cleaned_data["values"]}


class FilmAnswerForm(AnswerForm):
    """What is read on films, or that they cannot tell: then nothing else is said, and what only names is left out."""

    film = forms.Field(required=False)
    cannot_tell = forms.BooleanField(required=False)
    reads: ClassVar[tuple[str, ...]] = ()
    """Fields that hold a reading; none of them may stand beside "cannot tell"."""

    def __init__(self, data: QueryDict | dict[str, Any], *, task: Task, document: Document, state: State) -> None:
        super().__init__(data, task=task, document=document, state=state)
        self.says_cannot_tell = task.id in READ_ON_FILMS and bool(data.get("cannot_tell"))
        if self.says_cannot_tell:
            for field in self.fields.values():
                field.required = False

    def clean(self) -> dict[str, Any]:
        if self.says_cannot_tell and any(self.data.get(name, "").strip() for name in self.reads):
            raise forms.ValidationError(
                _("Give a reading, or say that these films cannot tell: take out the one you do not mean.")
            )
        return self.cleaned_data

    def answer(self) -> dict[str, Any]:
        return {"cannot_tell": True} if self.says_cannot_tell else self.reading()

    def reading(self) -> dict[str, Any]:
        raise NotImplementedError


class MeasureForm(FilmAnswerForm):
    event = "measured"
    value = number()
    of = forms.Field(required=False)
    points_px = forms.CharField(required=False, max_length=400)
    reads = ("value",)

    def clean_value(self) -> float:
        value = float(self.cleaned_data["value"] or 0)  # left out only where the films cannot tell
        if not math.isfinite(value):
            raise forms.ValidationError(NUMBER)
        return value

    def clean_points_px(self) -> list[list[float]]:
        """Where on the film it was read, as the viewer sends it; left out if it does not read as points."""
        try:
            pairs = [pair.split(",") for pair in self.cleaned_data["points_px"].split(";") if pair]
            return [[float(x), float(y)] for x, y in pairs][:MOST_POINTS]
        except ValueError:
            return []

    def reading(self) -> dict[str, Any]:
        said: dict[str, Any] = {"value": self.cleaned_data["value"], "points_px": self.cleaned_data["points_px"]}
        if self.task.of:
            said["of"] = self.task.of
        elif self.cleaned_data.get("of") not in (None, "", NO_CANAL):
            said["of"] = self.cleaned_data["of"]
        if self.cleaned_data.get("film"):
            said["film"] = int(self.cleaned_data["film"])
        return said


class MarkForm(FilmAnswerForm):
    """Marks as millimetres from the film's upper left corner: x1, y1, x2, y2 …"""

    event = "marked"
    reads = tuple(f"{axis}{place}" for place in range(1, MOST_POINTS + 1) for axis in "xy")

    def clean(self) -> dict[str, Any]:
        super().clean()
        if self.says_cannot_tell:
            return self.cleaned_data
        width_mm, height_mm = RECEPTOR.width_px * RECEPTOR.pitch_mm, RECEPTOR.height_px * RECEPTOR.pitch_mm
        points = []
        for place in range(1, MOST_POINTS + 1):
            across, down = (self.data.get(f"{axis}{place}", "").strip() for axis in "xy")
            if not across and not down:
                continue
            try:
                x_mm, y_mm = float(across), float(down)
            except ValueError as trouble:
                raise forms.ValidationError(_("Give both numbers of a mark, in millimetres.")) from trouble
            if not (0 <= x_mm <= width_mm and 0 <= y_mm <= height_mm):
                raise forms.ValidationError(
                    _("A mark lies on the film: %(width).0f mm across and %(height).0f mm down at the most.")
                    % {"width": width_mm, "height": height_mm}
                )
            points.append([x_mm / RECEPTOR.pitch_mm, y_mm / RECEPTOR.pitch_mm])
        if not points:
            raise forms.ValidationError(_("Set a mark, or give its place as two numbers."))
        return {**self.cleaned_data, "points": points}

    def reading(self) -> dict[str, Any]:
        return {
            "film": int(self.cleaned_data["film"]),
            "size_px": [RECEPTOR.width_px, RECEPTOR.height_px],
            "points_px": self.cleaned_data["points"],
        }


class LevelForm(AnswerForm):
    event = "levelled"
    level = pick("1", "2", "3", sentence=gettext_lazy("Choose a level."))

    def answer(self) -> dict[str, Any]:
        data = self.data
        pinned = data.getlist("evidence") if isinstance(data, QueryDict) else data.get("evidence", [])
        return {"level": int(self.cleaned_data["level"]), "evidence": pinned}
