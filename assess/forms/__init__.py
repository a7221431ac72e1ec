"""What pages send, read and checked."""

from assess.forms.acts import Act, AskForm, FilmForm, SelfGradeForm
from assess.forms.answers import AnswerForm, LevelForm, answer_form
from assess.forms.move_fields import MoveForm
from assess.forms.moves import MOVE_FORMS

__all__ = [
    "MOVE_FORMS",
    "Act",
    "AnswerForm",
    "AskForm",
    "FilmForm",
    "LevelForm",
    "MoveForm",
    "SelfGradeForm",
    "answer_form",
]
