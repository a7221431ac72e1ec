"""Which form reads the answer to a task: by the kind of its rule."""

from django.http import QueryDict

from assess.forms.answers import AnswerForm, ChoiceForm, LevelForm, MarkForm, MeasureForm
from assess.forms.outlines import OutlineForm
from assess.forms.told import OrderForm, WrittenForm
from assess.log import State
from casebank.casefile import Document
from casebank.rubric import ChoiceRule, LevelRule, MarkRule, MeasureRule, OrderRule, OutlineRule, Task, WrittenRule

ANSWER_FORMS: dict[type, type[AnswerForm]] = {
    ChoiceRule: ChoiceForm,
    MeasureRule: MeasureForm,
    MarkRule: MarkForm,
    LevelRule: LevelForm,
    OrderRule: OrderForm,
    OutlineRule: OutlineForm,
    WrittenRule: WrittenForm,
}


def answer_form(data: QueryDict, *, task: Task, document: Document, state: State) -> AnswerForm | None:
    """The form of a task's kind; none for what is judged at the bench."""
    form = ANSWER_FORMS.get(type(task.criterion.rule))
    return form(data, task=task, document=document, state=state) if form else None
