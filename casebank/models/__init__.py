"""What the case bank stores."""

from casebank.models.people import User, UserManager

__all__ = ["User", "UserManager"]
