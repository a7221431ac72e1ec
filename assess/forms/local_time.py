"""Times as they are typed: on the clock of a programme's zone, which jumps twice a year."""

import zoneinfo
from datetime import UTC, datetime
from typing import Any

from django import forms
from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy

AS_TYPED = "%Y-%m-%dT%H:%M"
TYPED = (AS_TYPED, "%Y-%m-%dT%H:%M:%S", "%Y-%m-%d %H:%M")


class NoSuchTime(ValueError):
    """A clock in the zone never shows that time, or shows it twice; the sentence says what to give."""


class LocalTimeField(forms.Field):
    """A moment, from the local time as a browser's date and time field sends it. The form sets the zone."""

    zone: zoneinfo.ZoneInfo

    default_error_messages = {
        "required": gettext_lazy("Give a day and a time."),
        "invalid": gettext_lazy("Give a day and a time, such as 2026-03-02 17:00."),
    }

    def to_python(self, value: Any) -> datetime | None:
        typed = str(value or "").strip()
        if not typed:
            return None
        for layout in TYPED:
            try:
                local = datetime.strptime(typed, layout)  # noqa: DTZ007 the zone is the programme's and comes next
                return moment(local, self.zone)
            except NoSuchTime as trouble:
                raise forms.ValidationError(str(trouble)) from trouble
            except (ValueError, OverflowError):
                continue
        raise forms.ValidationError(self.error_messages["invalid"])


def moment(local: datetime, zone: zoneinfo.ZoneInfo) -> datetime:
    """The moment at which a clock in the zone shows a time. NoSuchTime where clocks are changed.

    >>> moment(datetime(2026, 3, 2, 17, 0), zoneinfo.ZoneInfo("Europe/Zurich")).isoformat()
    '2026-03-02T16:00:00+00:00'
    """
    first, second = (local.replace(tzinfo=zone, fold=fold) for fold in (0, 1))
    before, after = first.utcoffset(), second.utcoffset()
    if before is None or after is None or before == after:
        return first.astimezone(UTC)
    if before < after:
        said = {"typed": f"{local:%H:%M}", "day": f"{local:%Y-%m-%d}", "next": f"{local + (after - before):%H:%M}"}
        raise NoSuchTime(
            _("Clocks go forward on %(day)s, and no clock shows %(typed)s then: give %(next)s, or an earlier time.")
            % said
        )
    raise NoSuchTime(
        _("Clocks go back on %(day)s, and %(typed)s comes twice then: give a time at least an hour earlier or later.")
        % {"typed": f"{local:%H:%M}", "day": f"{local:%Y-%m-%d}"}
    )
