"""What varies from canal to canal and yet is the same each time it is asked: nothing at the bench is random."""

from hashlib import sha256


def settled_share(*told_apart_by: object) -> float:
    """A share from 0 up to 1 that the given names and numbers settle, evenly spread over different ones."""
    digest = sha256("|".join(map(str, told_apart_by)).encode()).digest()
    return int.from_bytes(digest[:6], "big") / 2**48
