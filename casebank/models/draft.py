"""A case file that was imported and is not published yet."""

import uuid

from django.conf import settings
from django.db import models

from casebank.casefile import Document
from casebank.models.case import parsed


class Draft(models.Model):
    """One imported document. It reads as a case; whether it may be published is asked when it is published."""

    public_id = models.UUIDField(default=uuid.uuid4, unique=True, editable=False)
    content = models.TextField()
    sha256 = models.CharField(max_length=64, unique=True)
    slug = models.SlugField(max_length=60)
    title = models.CharField(max_length=200)
    tooth = models.PositiveSmallIntegerField()
    imported_at = models.DateTimeField()
    imported_by = models.ForeignKey(settings.AUTH_USER_MODEL, on_delete=models.PROTECT, related_name="+")

    class Meta:
        ordering = ("-imported_at", "-pk")

    def __str__(self) -> str:
        return f"draft of {self.slug}"

    @property
    def document(self) -> Document:
        """The case as a value. ValueError if the stored content is not what was imported."""
        return parsed(self.sha256, self.content)
