"""The bench: every canal of a tooth and the record of what was done to it.

One move makes a new bench; nothing is random, so a log of moves is enough to have the state again.
"""

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from types import MappingProxyType

from casebank.anatomy import Tooth
from casebank.instruments.enginework import flare, shape_with_engine
from casebank.instruments.felt import Felt, Outcome, Reach
from casebank.instruments.handwork import recapitulate, work
from casebank.instruments.lumen import Fragment, Lumen, shape_of, untouched
from casebank.instruments.measuring import fit_cone, gauge, irrigate, read_length
from casebank.instruments.moves import (
    CoronalFlare,
    EngineFile,
    FitCone,
    Gauge,
    HandFile,
    Irrigate,
    Move,
    ReadLength,
    Recapitulate,
)
from casebank.instruments.record import Record, Step


@dataclass(frozen=True)
class Bench:
    """Lumens by canal name, and every step in order."""

    lumens: Mapping[str, Lumen]
    record: tuple[Step, ...] = ()

    @classmethod
    def of(cls, tooth: Tooth) -> "Bench":
        """A tooth with no instrument in it yet."""
        return cls(MappingProxyType({canal.name: untouched(shape_of(tooth, canal.name)) for canal in tooth.canals}))

    @property
    def canals(self) -> tuple[str, ...]:
        return tuple(self.lumens)

    def lumen(self, canal: str) -> Lumen:
        """The state of one canal. ValueError, with the names there are, if the tooth has no such canal."""
        if canal not in self.lumens:
            raise ValueError(f"there is no canal {canal}: this tooth has {', '.join(self.lumens)}")
        return self.lumens[canal]

    def make(self, canal: str, move: Move) -> tuple["Bench", Step]:
        """Make one move in one canal; the new bench and the step added to its record."""
        before = self.lumen(canal)
        outcome = _refused(before, canal, before.fragment) if before.fragment else _consequence(before, move)
        step = Step(
            number=len(self.record) + 1,
            canal=canal,
            move=move,
            felt=outcome.felt,
            why=outcome.why,
            events=outcome.events,
            reach=outcome.reach,
            before=before,
            after=outcome.lumen,
        )
        lumens = MappingProxyType({**self.lumens, canal: outcome.lumen})
        return Bench(lumens, (*self.record, step)), step

    def record_of(self, canal: str) -> Record:
        """What was done in one canal."""
        return Record(self.lumen(canal), tuple(step for step in self.record if step.canal == canal))


def replay(tooth: Tooth, log: Iterable[tuple[str, Move]]) -> Bench:
    """The bench after a log of moves; the same log gives the same state."""
    bench = Bench.of(tooth)
    for canal, move in log:
        bench, _ = bench.make(canal, move)
    return bench


def _consequence(lumen: Lumen, move: Move) -> Outcome:  # noqa: PLR0911 - one return a move
    match move:
        case HandFile():
            return work(lumen, move)
        case Recapitulate():
            return recapitulate(lumen, move)
        case EngineFile():
            return shape_with_engine(lumen, move)
        case CoronalFlare():
            return flare(lumen, move)
        case Irrigate():
            return irrigate(lumen, move)
        case ReadLength():
            return read_length(lumen, move)
        case Gauge():
            return gauge(lumen, move)
        case FitCone():
            return fit_cone(lumen, move)


def _refused(lumen: Lumen, canal: str, fragment: Fragment) -> Outcome:
    """After a separation the canal is left as it is."""
    words = (
        f"A piece of a {fragment.instrument} lies in canal {canal}, so no further move is made there: "
        "go on with the other canals."
    )
    return Outcome(lumen, Felt(words), Reach(0.0, 0.0, 0.0, "refused"))
