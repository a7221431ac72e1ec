"""Canals as they stand when they are closed: straight ones with a closed form, prepared, dried, sealed."""

from dataclasses import replace
from types import MappingProxyType

from casebank.instruments import Bench, Lumen, Move, Setting, Step
from casebank.instruments.contents import Contents
from casebank.instruments.lumen import Terminus
from casebank.instruments.setting import PLAIN
from tests.casebank.instruments.canals import straight

NAME = "ideal"
FORAMEN_MM = 20.0  # from the cusp: 8 to the orifice and 12 below it, as `straight` makes them
READY = Contents(dried=True, sealer_to_mm=11.5)


def prepared(end_mm: float = 0.35, taper: float = 0.04, size: int = 35) -> Lumen:
    """A straight canal cut evenly to an end and a taper, up to its foramen."""
    return replace(straight(end_mm, taper), terminus=Terminus(12.0, size, taper))


def holding(lumen: Lumen, contents: Contents) -> Lumen:
    return replace(lumen, contents=contents)


def named(lumen: Lumen, name: str) -> Lumen:
    return replace(lumen, shape=replace(lumen.shape, name=name))


def on_bench(lumen: Lumen, setting: Setting = PLAIN) -> Bench:
    """A bench with one canal."""
    return Bench(MappingProxyType({lumen.shape.name: lumen}), setting=setting)


def after(lumen: Lumen, *moves: Move, setting: Setting = PLAIN) -> Step:
    """The last step of moves in a canal."""
    bench = on_bench(lumen, setting)
    for move in moves:
        bench, step = bench.make(lumen.shape.name, move)
    return step
