"""Why something cannot be done, in words a page can show."""


class Refused(ValueError):
    """What cannot be stored; the sentence says why and what to do. Nothing was stored."""


class StageClosed(Refused):
    """The stage is committed already, an earlier one is still open, or time is up."""
