"""Passwords of accounts that a roster made."""

import secrets

from django.db import transaction

from casebank import policies
from casebank.models import Membership, User

LETTERS = "abcdefghjkmnpqrstuvwxyz23456789"  # none that is taken for another when it is read off a slip
GROUPS, GROUP = 4, 4  # 16 letters of 31: 79 bits


def renew_password(*, membership: Membership, by: User) -> str:
    """Give an account a new password and return it; it is stored only as a hash, so it can be shown this once."""
    policies.require(
        policies.may_renew_password(by, membership),
        "Only the programme's director can renew a password, and only of a student or instructor of this programme.",
    )
    password = "-".join("".join(secrets.choice(LETTERS) for _ in range(GROUP)) for _ in range(GROUPS))
    with transaction.atomic():
        account = User.objects.select_for_update().get(pk=membership.user_id)
        account.set_password(password)
        account.save(update_fields=["password"])
    return password
