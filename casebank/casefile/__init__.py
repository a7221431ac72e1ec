"""The document that is a case, read, checked and worked out into reference answers."""

from casebank.casefile.answers import ReferenceAnswer
from casebank.casefile.criteria_table import CriteriaTable, compare_sets
from casebank.casefile.document import Choice, Document, Finding, GivenFilm, Patient, Preparation
from casebank.casefile.in_canal import file_rod
from casebank.casefile.reading import FileRefused, parse_document, parse_object, read_bytes, read_document, validate
from casebank.casefile.record import plain, reference_record
from casebank.casefile.reference import Reference, derive, read_case

__all__ = [
    "Choice",
    "CriteriaTable",
    "Document",
    "FileRefused",
    "Finding",
    "GivenFilm",
    "Patient",
    "Preparation",
    "Reference",
    "ReferenceAnswer",
    "compare_sets",
    "derive",
    "file_rod",
    "parse_document",
    "parse_object",
    "plain",
    "read_bytes",
    "read_case",
    "read_document",
    "reference_record",
    "validate",
]
