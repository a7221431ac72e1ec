"""The case bank as a Django application."""

from django.apps import AppConfig


class CasebankConfig(AppConfig):
    name = "casebank"
    verbose_name = "Case bank"

    def ready(self) -> None:
        from django.conf import settings  # noqa: PLC0415  none of these can be had before the settings are

        from casebank import checks  # noqa: F401, PLC0415  Django collects checks once applications are there
        from casebank.difficulty import use_folder  # noqa: PLC0415

        use_folder(settings.CRITERIA_DIR)
