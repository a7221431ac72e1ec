"""What an instrument is and what it does in a canal: a deterministic bench for teaching.

Lengths are millimetres. Depths along a canal count from its orifice; `to_mm` counts from the reference cusp.
"""

from casebank.instruments.apical import ApicalGauge, apical_gauge
from casebank.instruments.bench import Bench, replay
from casebank.instruments.cavity import Cavity, Closure
from casebank.instruments.closing_moves import (
    CoronalSeal,
    Dry,
    FillCanal,
    Medicate,
    NextVisit,
    Provisional,
    Seal,
    TrialFit,
)
from casebank.instruments.contents import Contents, Fill
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
from casebank.instruments.observation import Observation
from casebank.instruments.process import observe
from casebank.instruments.record import Record, Step
from casebank.instruments.setting import Setting, setting_of
from casebank.instruments.unsafe import UnsafeStep, unsafe_in, unsafe_steps

__all__ = [
    "ENGINE_SIZES",
    "SIZES",
    "TAPERS",
    "ApicalGauge",
    "Bench",
    "Bracket",
    "Cavity",
    "Closure",
    "Contents",
    "CoronalFlare",
    "CoronalSeal",
    "Dry",
    "EngineFile",
    "Felt",
    "Fill",
    "FillCanal",
    "FilmLength",
    "FitCone",
    "Gauge",
    "HandFile",
    "Instrument",
    "Irrigate",
    "Lubricate",
    "Lumen",
    "Medicate",
    "Move",
    "NextVisit",
    "Number",
    "Observation",
    "Patency",
    "Provisional",
    "Reach",
    "ReadElectronically",
    "ReadLength",
    "Recapitulate",
    "Record",
    "Seal",
    "Setting",
    "Shape",
    "Step",
    "TrialFit",
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
    "setting_of",
    "shape_of",
    "unsafe_in",
    "unsafe_steps",
    "untouched",
]
