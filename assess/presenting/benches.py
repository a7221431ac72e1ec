"""The bench after an attempt's moves. Benches replayed lately are kept, so that a page replays one move and not all."""

from assess.log import State
from assess.presenting.kept import Kept
from casebank.casefile import Document
from casebank.casefile.bench_setting import bench_setting
from casebank.instruments import Bench, Move, replay

Moves = tuple[tuple[str, Move], ...]
KEPT: Kept[tuple[str, Moves], Bench] = Kept(48)


def bench_of(sha256: str, document: Document, state: State) -> Bench:
    """The bench of an edition's tooth after the moves of an attempt. `sha256` is the edition's."""
    moves = state.moves
    bench = KEPT.get((sha256, moves))
    if bench is not None:
        return bench
    before = KEPT.get((sha256, moves[:-1])) if moves else None
    bench = before.make(*moves[-1])[0] if before else replay(document.anatomy.tooth, moves, bench_setting(document))
    return KEPT.put((sha256, moves), bench)
