"""The bench: every canal of a tooth, how the tooth stands closed, and the record of what was done to it.

One move makes a new bench; nothing is random, so a log of moves is enough to have the state again.
"""

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, replace
from types import MappingProxyType

from casebank.anatomy import Tooth
from casebank.instruments import cavity as chamber
from casebank.instruments.cavity import OPEN, Cavity, ToothMove
from casebank.instruments.closing_moves import Dry, FillCanal, Medicate, Seal, TrialFit
from casebank.instruments.dressing import medicate
from casebank.instruments.drying import dry
from casebank.instruments.electronic import read_electronically
from casebank.instruments.enginework import flare, shape_with_engine
from casebank.instruments.felt import Felt, Outcome, Reach
from casebank.instruments.filling import fill_canal, place_sealer
from casebank.instruments.filming import film_length
from casebank.instruments.fitting import fit_cone, gauge, trial_fit
from casebank.instruments.handwork import recapitulate, work
from casebank.instruments.lubricating import lubricate
from casebank.instruments.lumen import Lumen, shape_of, untouched
from casebank.instruments.measuring import irrigate, read_length
from casebank.instruments.moves import (
    CoronalFlare,
    EngineFile,
    FilmLength,
    FitCone,
    Gauge,
    HandFile,
    Irrigate,
    Lubricate,
    Move,
    Patency,
    ReadElectronically,
    ReadLength,
    Recapitulate,
)
from casebank.instruments.patency import keep_patent
from casebank.instruments.record import Record, Step
from casebank.instruments.setting import PLAIN, Setting
from casebank.instruments.tissue import bled


@dataclass(frozen=True)
class Bench:
    """Lumens by canal name, every step in order, how the tooth stands closed, and what stands round its canals."""

    lumens: Mapping[str, Lumen]
    record: tuple[Step, ...] = ()
    cavity: Cavity = OPEN
    setting: Setting = PLAIN

    @classmethod
    def of(cls, tooth: Tooth, setting: Setting = PLAIN) -> "Bench":
        """A tooth with no instrument in it yet."""
        lumens = {canal.name: untouched(shape_of(tooth, canal.name)) for canal in tooth.canals}
        if setting.inflamed:
            lumens = {name: _bleeding(lumen) for name, lumen in lumens.items()}
        return cls(MappingProxyType(lumens), setting=setting)

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
        before, cavity, lumens = self.lumen(canal), self.cavity, self.lumens
        words = chamber.refusal(cavity, move) or self._refusal(canal, move)
        if words:
            outcome = Outcome(before, Felt(words), Reach(0.0, 0.0, 0.0, "refused"))
        elif isinstance(move, ToothMove):
            closed = chamber.close(cavity, lumens, move)
            cavity, lumens = closed.cavity, closed.lumens
            outcome = Outcome(lumens[canal], closed.felt, closed.reach, (), closed.events)
        else:
            outcome = _consequence(before, move, self.setting)
            outcome = replace(outcome, lumen=bled(outcome, move))
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
            cavity=cavity,
        )
        after = MappingProxyType({**lumens, canal: outcome.lumen})
        return Bench(after, (*self.record, step), cavity, self.setting), step

    def record_of(self, canal: str) -> Record:
        """What was done in one canal."""
        return Record(self.lumen(canal), tuple(step for step in self.record if step.canal == canal))

    def _refusal(self, canal: str, move: Move) -> str:
        """Why a canal refuses a move, in one sentence; nothing where it does not. The tooth may always be closed."""
        lumen = self.lumens[canal]
        if isinstance(move, ToothMove):
            return ""
        if lumen.fragment:
            return (
                f"A piece of a {lumen.fragment.instrument} lies in canal {canal}, so no further move is made there: "
                "go on with the other canals."
            )
        if lumen.contents.fill:
            return f"Canal {canal} is filled, so no further move is made in it: go on with the other canals."
        return self.setting.closed.get(canal, "")


def replay(tooth: Tooth, log: Iterable[tuple[str, Move]], setting: Setting = PLAIN) -> Bench:
    """The bench after a log of moves; the same log gives the same state."""
    bench = Bench.of(tooth, setting)
    for canal, move in log:
        bench, _ = bench.make(canal, move)
    return bench


def _bleeding(lumen: Lumen) -> Lumen:
    return replace(lumen, contents=replace(lumen.contents, bleeding="pulp"))


def _consequence(lumen: Lumen, move: Move, setting: Setting) -> Outcome:  # noqa: PLR0911, PLR0912 - one return a move
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
        case Lubricate():
            return lubricate(lumen, move)
        case Patency():
            return keep_patent(lumen, move)
        case ReadLength():
            return read_length(lumen, move)
        case ReadElectronically():
            return read_electronically(lumen, move, metal=setting.metal)
        case FilmLength():
            return film_length(lumen, move)
        case Gauge():
            return gauge(lumen, move)
        case FitCone():
            return fit_cone(lumen, move)
        case TrialFit():
            return trial_fit(lumen, move)
        case Dry():
            return dry(lumen)
        case Medicate():
            return medicate(lumen, move)
        case Seal():
            return place_sealer(lumen, move)
        case FillCanal():
            return fill_canal(lumen, move)
        case _:
            raise TypeError(f"{type(move).__name__} concerns the whole tooth, not one canal")
