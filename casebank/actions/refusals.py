"""Why something cannot be done to the bank, in words a page can show."""


class Refused(ValueError):
    """What cannot be stored; the sentence says why and what to do. Nothing was stored."""
