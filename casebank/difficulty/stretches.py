"""The ends of a stretch of numbers in a table: from and to count themselves, above and below do not."""

import math

from casebank.difficulty.tables import CriteriaError, Table

Ends = tuple[float, bool, float, bool]


def ends_of(table: Table) -> Ends:
    """Least number, whether it counts, greatest, whether it counts. CriteriaError if they are none or contradict."""
    if not any(end in table for end in ("from", "above", "to", "below")):
        raise CriteriaError(f"{table.where}: has no end: give from, above, to or below")
    if "from" in table and "above" in table:
        raise table.refuse("above", "from is given as well: keep one of the two")
    if "to" in table and "below" in table:
        raise table.refuse("below", "to is given as well: keep one of the two")
    least_counts, most_counts = "from" in table, "to" in table
    least = table.number("from" if least_counts else "above") if least_counts or "above" in table else -math.inf
    most = table.number("to" if most_counts else "below") if most_counts or "below" in table else math.inf
    if least > most:
        raise CriteriaError(f"{table.where}: starts at {least:g} and ends at {most:g}: write the smaller number first")
    if least == most and not (least_counts and most_counts):
        raise CriteriaError(f"{table.where}: holds no number: move one of its ends, or let both count")
    return least, least_counts, most, most_counts
