"""A case and its editions. An edition is one published document; the database refuses to change or remove it."""

import hashlib
from functools import lru_cache

from django.conf import settings
from django.db import models

from casebank.casefile import Document, parse_document


class CaseQuerySet(models.QuerySet["Case"]):
    def open_to_work(self) -> "CaseQuerySet":
        """Cases that have an edition and are not retired."""
        published = Edition.objects.filter(case=models.OuterRef("pk"))
        return self.filter(models.Exists(published), retired_at__isnull=True)


class Case(models.Model):
    """A case's identity; what it says stands in its editions."""

    slug = models.SlugField(max_length=60, unique=True)
    retired_at = models.DateTimeField(null=True, blank=True)

    objects = CaseQuerySet.as_manager()

    class Meta:
        ordering = ("slug",)

    def __str__(self) -> str:
        return self.slug

    def latest_edition(self) -> "Edition | None":
        """The edition that new attempts are made on."""
        return self.editions.order_by("-number").first()


class Edition(models.Model):
    """One published, immutable version of a case: the very text of its document, and its SHA-256."""

    case = models.ForeignKey(Case, on_delete=models.PROTECT, related_name="editions")
    number = models.PositiveSmallIntegerField()
    content = models.TextField()
    sha256 = models.CharField(max_length=64)
    title = models.CharField(max_length=200)
    tooth = models.PositiveSmallIntegerField()
    published_at = models.DateTimeField()
    published_by = models.ForeignKey(settings.AUTH_USER_MODEL, on_delete=models.PROTECT, null=True, related_name="+")

    class Meta:
        ordering = ("case", "number")
        constraints = [
            models.UniqueConstraint(fields=("case", "number"), name="edition_number_once_per_case"),
            models.UniqueConstraint(fields=("case", "sha256"), name="edition_content_once_per_case"),
            models.CheckConstraint(condition=models.Q(number__gte=1), name="edition_numbers_start_at_1"),
        ]

    def __str__(self) -> str:
        return f"{self.case.slug}, edition {self.number}"

    @property
    def is_intact(self) -> bool:
        """Whether the content still is what was published."""
        return sha256_of(self.content) == self.sha256

    @property
    def document(self) -> Document:
        """The case as a value. ValueError if the stored content is not what was published."""
        return parsed(self.sha256, self.content)


def sha256_of(content: str) -> str:
    """SHA-256 of a document's text in UTF-8, as 64 hexadecimal digits."""
    return hashlib.sha256(content.encode()).hexdigest()


@lru_cache(maxsize=64)
def parsed(sha256: str, content: str) -> Document:
    """A document by its hash and text, so that a page does not read it anew."""
    if sha256_of(content) != sha256:
        raise ValueError(f"a stored case does not match its SHA-256 {sha256}: the database was tampered with")
    return parse_document(content.encode(), name="edition")
