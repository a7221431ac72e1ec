"""What the case bank stores."""

from casebank.models.case import Case, CaseQuerySet, Edition, sha256_of
from casebank.models.people import User, UserManager
from casebank.models.programme import Membership, Programme, Role

__all__ = ["Case", "CaseQuerySet", "Edition", "Membership", "Programme", "Role", "User", "UserManager", "sha256_of"]
