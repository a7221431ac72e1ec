"""What canals are called: by tooth, the names a case may use and a student may pick from.

The menu of a tooth is the same whatever this tooth has, so that it tells nothing; a case's own canals must therefore be
on it, or nobody could name them. Names are the trade's, common practice, no source. The first mesiobuccal canal of an
upper molar is MB1 whether or not it has a second one: another name would give that away. C is an only canal.
"""


def usual_canals(number: int) -> tuple[str, ...]:
    """Canal names of a kind of tooth, by its two-digit designation.

    >>> usual_canals(37), usual_canals(11)
    (('MB', 'MM', 'ML', 'DB', 'DL', 'D', 'M'), ('C', 'La', 'P'))
    """
    upper, place = number // 10 in (1, 2), number % 10
    if place >= 6:
        return ("MB1", "MB2", "MB3", "DB", "P") if upper else ("MB", "MM", "ML", "DB", "DL", "D", "M")
    if place >= 4:
        return ("C", "B", "P", "MB", "DB") if upper else ("C", "B", "L", "MB", "ML")
    return ("C", "La", "P" if upper else "Li")
