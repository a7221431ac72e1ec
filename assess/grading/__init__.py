"""From an edition and a log to a grade: a pure function."""

from assess.grading.grade import GRADER_VERSION, CriterionGrade, Grade, grade
from assess.grading.record import grade_record
from assess.grading.said import AnswerRefused
from assess.grading.unsafe import UnsafeStep

__all__ = ["GRADER_VERSION", "AnswerRefused", "CriterionGrade", "Grade", "UnsafeStep", "grade", "grade_record"]
