"""How a tooth stands closed, and which visit it is: what concerns all its canals at once.

The coronal seal and the provisional close the one chamber that the canals share, so they are kept for the tooth and
not for each canal.
"""

from collections.abc import Mapping
from dataclasses import dataclass, replace
from types import MappingProxyType

from casebank.instruments import damage
from casebank.instruments.closing_moves import CoronalSeal, NextVisit, Provisional, ProvisionalMaterial, SealMaterial
from casebank.instruments.felt import Felt, Reach
from casebank.instruments.lumen import Lumen
from casebank.instruments.teaching import TEACHING

ToothMove = Provisional | NextVisit | CoronalSeal


@dataclass(frozen=True)
class Closure:
    """What closes the way in, and how thick it lies."""

    material: ProvisionalMaterial | SealMaterial
    thickness_mm: float
    lasting: bool


@dataclass(frozen=True)
class Cavity:
    """The way in: the visit, from 1, and what closes it; open while the tooth is worked on."""

    visit: int = 1
    closure: Closure | None = None

    @property
    def seal(self) -> Closure | None:
        """The coronal seal, if there is one."""
        return self.closure if self.closure and self.closure.lasting else None

    @property
    def provisional(self) -> Closure | None:
        return self.closure if self.closure and not self.closure.lasting else None


OPEN = Cavity()


@dataclass(frozen=True)
class Closed:
    """What a move for the whole tooth comes to."""

    cavity: Cavity
    lumens: Mapping[str, Lumen]
    felt: Felt
    reach: Reach
    events: tuple[str, ...] = ()


def close(cavity: Cavity, lumens: Mapping[str, Lumen], move: ToothMove) -> Closed:
    """A provisional, the next visit, or the coronal seal."""
    match move:
        case NextVisit():
            return _next_visit(cavity, lumens)
        case Provisional() | CoronalSeal():
            return _covered(cavity, lumens, move)


def refusal(cavity: Cavity, move: object) -> str:
    """Why a closed tooth refuses a move, in one sentence; nothing where it does not."""
    if cavity.seal:
        return f"The tooth is sealed with {cavity.seal.material}, so no further move is made: go on to the next stage."
    if cavity.provisional and not isinstance(move, NextVisit):
        return f"The tooth is closed with {cavity.provisional.material} for now: begin the next visit first."
    return ""


def _covered(cavity: Cavity, lumens: Mapping[str, Lumen], move: Provisional | CoronalSeal) -> Closed:
    name = "coronal seal" if isinstance(move, CoronalSeal) else "provisional"
    if move.thickness_mm == 0:
        return Closed(cavity, lumens, Felt(f"{name}: nothing placed"), Reach(0.0, 0.0, 0.0, "not entered"))
    closure = Closure(move.material, move.thickness_mm, isinstance(move, CoronalSeal))
    words = f"{name}: {move.material}, {move.thickness_mm:g} mm thick, closes the tooth"
    unfilled = [canal for canal, lumen in lumens.items() if lumen.contents.fill is None]
    if closure.lasting and unfilled:
        words += f"; no filling lies in {', '.join(unfilled)}"
    return Closed(replace(cavity, closure=closure), lumens, Felt(words), Reach(0.0, 0.0, 0.0, "closed"))


def _next_visit(cavity: Cavity, lumens: Mapping[str, Lumen]) -> Closed:
    """The tooth is open again; canals are as they were left, but neither dried nor flooded, and no longer bleeding."""
    was, visit = cavity.provisional, cavity.visit + 1
    events: tuple[str, ...] = ()
    words = f"visit {visit}: the provisional is tight, and comes out"
    if was is None:
        words, events = f"visit {visit}: the tooth had been left open", (damage.LEFT_OPEN,)
    elif was.thickness_mm < TEACHING.provisional_least_mm:
        words, events = f"visit {visit}: the provisional is loose at its margin, and comes out", (damage.LEAKED,)
    opened = MappingProxyType({canal: _rested(lumen) for canal, lumen in lumens.items()})
    return Closed(Cavity(visit), opened, Felt(words), Reach(0.0, 0.0, 0.0, "placed"), events)


def _rested(lumen: Lumen) -> Lumen:
    if lumen.contents.fill:
        return lumen
    contents = replace(lumen.contents.wetted(), bleeding="none", gel=None)
    return replace(lumen, wet=0.0, stirred_mm=0.0, contents=contents)
