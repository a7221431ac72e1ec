"""What pages send, read and checked."""

from assess.forms.acts import Act, AskForm, FilmForm, SelfGradeForm, VolumeForm
from assess.forms.answering import answer_form
from assess.forms.answers import AnswerForm, LevelForm
from assess.forms.marking import MarksForm
from assess.forms.move_fields import MoveForm
from assess.forms.moves import MOVE_FORMS

__all__ = [
    "MOVE_FORMS",
    "Act",
    "AnswerForm",
    "AskForm",
    "FilmForm",
    "LevelForm",
    "MarksForm",
    "MoveForm",
    "SelfGradeForm",
    "VolumeForm",
    "answer_form",
]
