"""Moments in words: on the clock of a programme, with its zone named."""

import zoneinfo
from datetime import datetime

from casebank.models import Programme


def moment_words(moment: datetime, programme: Programme) -> str:
    """A day and a time as a clock of the programme shows them.

    >>> from datetime import UTC
    >>> moment_words(datetime(2026, 3, 6, 12, tzinfo=UTC), Programme(time_zone="Europe/Zurich"))
    '2026-03-06 13:00, Europe/Zurich'
    """
    local = moment.astimezone(zoneinfo.ZoneInfo(programme.time_zone))
    return f"{local:%Y-%m-%d %H:%M}, {programme.time_zone}"
