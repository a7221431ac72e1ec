"""The case bank as a Django application."""

from django.apps import AppConfig


class CasebankConfig(AppConfig):
    name = "casebank"
    verbose_name = "Case bank"

    def ready(self) -> None:
        from casebank import checks  # noqa: F401, PLC0415  Django collects checks once applications are there
