"""What must be right on this machine before anything is stored."""

import os
from typing import Any

from django.conf import settings
from django.core.checks import CheckMessage, Error, register

from casebank.difficulty import CriteriaError, criteria_sets


@register()
def data_folder_can_be_written_to(**_: Any) -> list[CheckMessage]:
    if os.access(settings.DATA_DIR, os.W_OK | os.X_OK):
        return []
    return [
        Error(
            f"The data folder {settings.DATA_DIR} is missing or cannot be written to.",
            hint="Name another in CASEBANK_DATA.",
            id="casebank.E001",
        )
    ]


@register()
def criteria_sets_can_be_read(**_: Any) -> list[CheckMessage]:
    try:
        criteria_sets()
    except CriteriaError as trouble:
        hint = "A school's own sets stand in the folder that CASEBANK_CRITERIA_DIR names."
        return [Error(f"A criteria set cannot be used. {trouble}.", hint=hint, id="casebank.E002")]
    return []
