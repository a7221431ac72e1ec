"""Text that a spreadsheet would run as a formula, made harmless by an apostrophe, and back.

References
----------
OWASP Foundation, "CSV Injection" (which beginnings are run, and that a separator within a text can begin a cell);
OWASP Application Security Verification Standard 5.0, requirement 1.2.10 (an apostrophe in front; NUL).
"""

import re

SIGNS = "=+-@＝＋－＠﹦﹢﹣﹫⁼⁺₌₊⩵⩶﬩"  # the four that begin a formula, and all that become one when normalised
UNSEEN = "\u00ad\u061c\u200b-\u200f\u202a-\u202e\u2060-\u2064\u2066-\u2069\ufeff"  # no width, or only a direction
QUOTES = "\"'`´‘’‚‛“”„‟«»‹›＂＇"
PASSED_OVER = f"(?:[^\\S\\t\\r\\n]|[{QUOTES}{UNSEEN}])*+"  # what a spreadsheet may drop before it looks
BEGINNING = f"{PASSED_OVER}[{re.escape(SIGNS)}]"

# Where a cell can begin: at the start, and after a semicolon, tab or line break, since a spreadsheet that separates by
# semicolons takes no notice of quotes that stand after a comma. After a comma the quotes of the file are enough.
DANGEROUS = re.compile(rf"\A(?={PASSED_OVER}[\t\r\n\0]|{BEGINNING})|(?<=[;\t\r\n])(?={BEGINNING})")
GUARD = re.compile(rf"\A'(?={PASSED_OVER}[\t\r\n\0]|{BEGINNING})|(?<=[;\t\r\n])'(?={BEGINNING})")


def guarded(text: str) -> str:
    """The text with an apostrophe wherever a spreadsheet could see a formula begin; other text as it is.

    Examples
    --------
    >>> guarded("=1+1"), guarded(" @lower"), guarded("left; +2"), guarded("year-three")
    ("'=1+1", "' @lower", "left;' +2", 'year-three')
    """
    return DANGEROUS.sub("'", text)


def unguarded(text: str) -> str:
    """The text that `guarded` was given: it takes off those apostrophes and no other.

    Examples
    --------
    >>> unguarded("'=1+1"), unguarded("'tis")
    ('=1+1', "'tis")
    """
    return GUARD.sub("", text)
