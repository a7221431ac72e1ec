"""Teeth, tube positions, canals and tasks in words."""

from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy

from casebank.casefile import Document
from casebank.difficulty import criteria_named
from casebank.radiograph import View
from casebank.rubric import Task

JAW_SIDES = {
    1: gettext_lazy("upper right"),
    2: gettext_lazy("upper left"),
    3: gettext_lazy("lower left"),
    4: gettext_lazy("lower right"),
}
PLACES = {
    1: gettext_lazy("central incisor"),
    2: gettext_lazy("lateral incisor"),
    3: gettext_lazy("canine"),
    4: gettext_lazy("first premolar"),
    5: gettext_lazy("second premolar"),
    6: gettext_lazy("first molar"),
    7: gettext_lazy("second molar"),
    8: gettext_lazy("third molar"),
}

CANALS = {
    "C": gettext_lazy("the only canal"),
    "B": gettext_lazy("buccal"),
    "La": gettext_lazy("labial"),
    "L": gettext_lazy("lingual"),
    "Li": gettext_lazy("lingual"),
    "P": gettext_lazy("palatal"),
    "M": gettext_lazy("mesial"),
    "D": gettext_lazy("distal"),
    "MB": gettext_lazy("mesiobuccal"),
    "MB1": gettext_lazy("first mesiobuccal"),
    "MB2": gettext_lazy("second mesiobuccal"),
    "MB3": gettext_lazy("third mesiobuccal"),
    "MM": gettext_lazy("middle mesial"),
    "ML": gettext_lazy("mesiolingual"),
    "DB": gettext_lazy("distobuccal"),
    "DL": gettext_lazy("distolingual"),
}


def tooth_words(number: int) -> str:
    """A permanent tooth in words.

    >>> tooth_words(37)
    'lower left second molar'
    """
    return f"{JAW_SIDES[number // 10]} {PLACES[number % 10]}"


def canal_words(name: str) -> str:
    """A canal's short name and what it stands for.

    >>> canal_words("MB2"), canal_words("C")
    ('MB2, second mesiobuccal', 'C, the only canal')
    """
    return f"{name}, {CANALS[name]}"


def file_name(size: int, taper: float) -> str:
    """Size and taper of an instrument, as ISO 3630-1 writes them.

    >>> file_name(8, 0.02)
    '08/.02'
    """
    return f"{size:02d}/.{round(taper * 100):02d}"


def view_words(view: View) -> str:
    """Where the tube stood.

    >>> view_words(View()), view_words(View(horizontal_deg=20)), view_words(View(vertical_deg=-15))
    ('tube straight', 'tube moved 20° mesially', 'tube lowered 15°')
    """
    said = []
    if view.horizontal_deg:
        side = _("mesially") if view.horizontal_deg > 0 else _("distally")
        said.append(_("tube moved %(angle)g° %(side)s") % {"angle": abs(view.horizontal_deg), "side": side})
    if view.vertical_deg:
        way = _("raised") if view.vertical_deg > 0 else _("lowered")
        said.append(_("tube %(way)s %(angle)g°") % {"way": way, "angle": abs(view.vertical_deg)})
    return ", ".join(said) or _("tube straight")


def task_words(task: Task, document: Document) -> str:
    """What a task is called: by its factor, or by its criterion and the canal it is asked of."""
    if task.criterion.per == "factor" and task.of:
        return criteria_named(document.criteria).factor(task.of).label
    if task.of:
        return _("%(task)s, canal %(canal)s") % {"task": task.criterion.label, "canal": task.of}
    return task.criterion.label
