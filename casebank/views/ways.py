"""Which ways around the site a page offers its reader: put into every page's context, asked only where it is shown."""

from dataclasses import dataclass
from typing import Any

from django.http import HttpRequest
from django.utils.functional import SimpleLazyObject

from casebank import policies


@dataclass(frozen=True)
class Ways:
    """Whether the reader works cases, and whether they teach."""

    cases: bool
    teaching: bool


def ways(request: HttpRequest) -> dict[str, Any]:
    return {"ways": SimpleLazyObject(lambda: ways_of(request.user))}


def ways_of(user: policies.Person) -> Ways:
    """Whoever does not teach is offered the cases, also before anybody has enrolled them."""
    teaching = policies.teaches(user)
    return Ways(cases=not teaching or policies.is_student(user), teaching=teaching)
