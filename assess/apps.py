"""Attempts, grades and cohorts as a Django application."""

from django.apps import AppConfig


class AssessConfig(AppConfig):
    name = "assess"
    verbose_name = "Assessment"
