"""What the case bank stores."""

from casebank.models.case import Case, CaseQuerySet, Edition, sha256_of
from casebank.models.cohort import Cohort, Seat
from casebank.models.draft import Draft
from casebank.models.licence import Licence, Limit
from casebank.models.people import User, UserManager
from casebank.models.programme import Membership, Programme, Role

__all__ = [
    "Case",
    "CaseQuerySet",
    "Cohort",
    "Draft",
    "Edition",
    "Licence",
    "Limit",
    "Membership",
    "Programme",
    "Role",
    "Seat",
    "User",
    "UserManager",
    "sha256_of",
]
