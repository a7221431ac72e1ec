"""A tutor's marks of a reason that was written in graded work."""

from django.http import HttpResponse, HttpResponseRedirect
from django.utils import timezone

from assess import actions
from assess.forms.marking import MET
from assess.views.desk import Desk, desk


@desk("POST")
def mark_words(desk: Desk) -> HttpResponse:
    sent = desk.request.POST
    task = sent.get("task", "")
    met = sent.getlist(f"{MET}{task}")
    actions.mark_words(attempt=desk.attempt, task=task, met=met, by=desk.user, now=timezone.now())
    return HttpResponseRedirect(f"{desk.address('compare')}#t-{task.replace('.', '-')}", status=303)
