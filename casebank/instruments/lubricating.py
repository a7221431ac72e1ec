"""A gel in the canal: files slide a little more easily, and one of EDTA softens as well."""

from dataclasses import replace

from casebank.instruments.felt import Felt, Outcome, Reach
from casebank.instruments.lumen import Lumen
from casebank.instruments.moves import Lubricate
from casebank.instruments.teaching import TEACHING


def lubricate(lumen: Lumen, move: Lubricate) -> Outcome:
    """Gel carried in on a hand file. A rinse leaves its film on the wall; drying takes it away (teaching choice)."""
    contents = replace(lumen.contents.wetted(), gel=move.agent)
    after = replace(lumen, wet=max(lumen.wet, TEACHING.gel_wet), contents=contents)
    return Outcome(after, Felt(f"{move.agent}: carried in, files slide more easily"), Reach(0.0, 0.0, 0.0, "placed"))
