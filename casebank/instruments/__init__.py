"""What an instrument is and what it does in a canal: a deterministic bench for teaching.

Lengths are millimetres. Depths along a canal count from its orifice; `to_mm` counts from the reference cusp.
"""

from casebank.instruments.apical import ApicalGauge, apical_gauge
from casebank.instruments.bench import Bench, replay
from casebank.instruments.felt import Felt, Number, Reach, Why
from casebank.instruments.gauging import Bracket, brackets, gauge_size
from casebank.instruments.iso3630 import (
    ENGINE_SIZES,
    SIZES,
    TAPERS,
    Instrument,
    bending_strain,
    colour_of,
    next_larger,
)
from casebank.instruments.lumen import Lumen, Shape, shape_of, untouched
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
from casebank.instruments.process import Observation, observe
from casebank.instruments.record import Record, Step
from casebank.instruments.unsafe import UnsafeStep, unsafe_in, unsafe_steps

__all__ = [
    "ENGINE_SIZES",
    "SIZES",
    "TAPERS",
    "ApicalGauge",
    "Bench",
    "Bracket",
    "CoronalFlare",
    "EngineFile",
    "Felt",
    "FitCone",
    "Gauge",
    "HandFile",
    "Instrument",
    "Irrigate",
    "Lumen",
    "Move",
    "Number",
    "Observation",
    "Reach",
    "ReadLength",
    "Recapitulate",
    "Record",
    "Shape",
    "Step",
    "UnsafeStep",
    "Why",
    "apical_gauge",
    "bending_strain",
    "brackets",
    "colour_of",
    "gauge_size",
    "next_larger",
    "observe",
    "replay",
    "shape_of",
    "unsafe_in",
    "unsafe_steps",
    "untouched",
]
