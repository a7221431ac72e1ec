"""The axes of a rubric in words: each is told apart from the others and never merged with them."""

from django.utils.translation import gettext_lazy

AXIS_NAMES = {
    "path": gettext_lazy("The path"),
    "decision": gettext_lazy("Treat or refer"),
    "judgement": gettext_lazy("Judgement"),
    "written": gettext_lazy("In your own words"),
}
AXIS_NOTES = {
    "path": "",
    "decision": gettext_lazy(
        "Whether to treat, with whom, or to refer: doing alone what is keyed for referral costs more than asking for "
        "help without need."
    ),
    "judgement": gettext_lazy(
        "What to do first in a dilemma. The reference is a judgement, and experts may differ from it."
    ),
    "written": gettext_lazy("No machine reads these: the percent is by the marks of whoever wrote the words."),
}
KEY_TYPES = {
    "anatomical fact": gettext_lazy("anatomical fact, computed from this tooth"),
    "panel judgement": gettext_lazy("panel judgement"),
    "school rule": gettext_lazy("school rule"),
}
