"""An instrument standing in a canal, as the shape a film can show."""

from casebank.anatomy import Anatomy
from casebank.instruments import Instrument
from casebank.radiograph import Rod, rod_in_canal


def file_rod(anatomy: Anatomy, canal: str, size: int, short_mm: float) -> Rod:
    """A hand file with its tip `short_mm` short of the foramen, along the canal.

    Raises
    ------
    KeyError
        If the tooth has no such canal.
    ValueError
        If there is no such size or the tip would not lie in the canal.
    """
    return rod_in_canal(anatomy, canal, Instrument(size).diameters_mm, short_mm)
