"""How well a shadow stands out: its contrast over the noise there, against Rose's criterion.

Contrast is the mean change of the natural logarithm of the exposed signal over the thing's shadow, against a rim round
it, worked out from two films without noise: one with the thing and one without it. The display spreads that logarithm
evenly, so it is what the eye is given; what the display shows as plain black or white carries no contrast.

Noise has two parts. The quanta and the electronics: the exposure model's own variance, brought to the shadow's area, so
that the figure grows with the root of the quanta (Rose, J Opt Soc Am 1948;38:196: k = contrast * sqrt(quanta), and
about 5 are needed). And the structure of the trabeculae: the spread that the same shadow and rim read when they are
laid over the marrow's pattern round about, of which a part counts, because a reader follows a line through a net of
bone and knows where a root lies. Both add as variances. How structure is added is a teaching choice, set so that the
figures agree with what we see on the bundled cases' films.
"""

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray
from scipy import ndimage, signal

from casebank.radiograph import exposure
from casebank.radiograph.sight_pair import PITCH_MM, Pair

Array = NDArray[np.float64]
Mask = NDArray[np.bool_]

THRESHOLD = 5.0  # Rose 1948, "about 5"
CORE_SHARE = 0.5  # of the greatest change: what belongs to a shadow, teaching choice
RIM_MM = 0.35  # width of the rim it is compared with: teaching choice
STRUCTURE_SHARE = 0.7  # of the pattern's spread that hides a thing: teaching choice, as said above
LEAST_PX = 4  # pixels a shadow must have


@dataclass(frozen=True)
class Sight:
    """How well one thing is seen in one view.

    Attributes
    ----------
    figure, threshold : float
        Contrast over noise, and what is needed of it.
    seen : bool
    why : str
        One clause for whoever asks.
    contrast : float
        Change of the log signal; + = darker on the film than without it.
    apart : bool
        Whether it is told from others of its kind in its line of view; if not, its figure is not its own.
    """

    figure: float
    threshold: float
    seen: bool
    why: str
    contrast: float = 0.0
    apart: bool = True


def rose_figure(contrast: float, area_mm2: float, quanta_per_mm2: float, structure: float = 0.0) -> float:
    """Contrast over noise of a shadow: |C| / sqrt(1 / (area * quanta) + structure^2).

    Without structure it is Rose's k = C * sqrt(N), N being the quanta that made the shadow.

    >>> rose_figure(0.05, 1.0, 10_000.0)
    5.0
    """
    if not (area_mm2 > 0 and quanta_per_mm2 > 0 and structure >= 0):
        raise ValueError("a shadow needs an area and quanta above 0, and a structure of 0 or more")
    return abs(contrast) / float(np.sqrt(1 / (area_mm2 * quanta_per_mm2) + structure**2))


def equivalent_quanta_per_mm2(level: float, pitch_mm: float) -> float:
    """Quanta that would give the exposure model's noise at a signal, averaged over many pixels.

    Neighbouring pixels share light, so averaging lowers their noise less than it would were they independent; the
    electronics add a share of the open beam to each pixel.
    """
    offsets = np.arange(-2, 3) * pitch_mm / exposure.GRAIN_MM
    weights = np.exp(-0.5 * offsets**2)
    shared = (weights.sum() ** 2 / (weights**2).sum()) ** 2
    variance = level / exposure.QUANTA_PER_MM2 + (exposure.ELECTRONIC * pitch_mm) ** 2
    return float(level**2 / (variance * shared))


def judged(pair: Pair, shadow: Mask) -> Sight:
    """A shadow, given by its pixels, against the rim round it."""
    if shadow.sum() < LEAST_PX:
        return lost()
    reach = max(1, round(RIM_MM / PITCH_MM))
    near = ndimage.binary_dilation(shadow, iterations=max(1, reach // 3))
    rim = ndimage.binary_dilation(near, iterations=reach) & ~near
    if not rim.any():
        return lost()
    contrast = float(pair.change[shadow].mean() - pair.change[rim].mean())
    level = float(pair.level[shadow].mean())
    area_mm2 = float(shadow.sum()) * PITCH_MM**2
    structure = STRUCTURE_SHARE * _structure(pair.pattern, shadow, rim)
    quanta = equivalent_quanta_per_mm2(level, pair.receptor_pitch_mm)
    figure = rose_figure(contrast, area_mm2, quanta, structure)
    if figure >= THRESHOLD:
        return Sight(figure, THRESHOLD, True, "stands out from what lies round it", contrast)
    hidden_by_bone = structure**2 > 1 / (area_mm2 * quanta)
    why = "is lost in the pattern of the bone" if hidden_by_bone else "is lost in the film's grain"
    return Sight(figure, THRESHOLD, False, why, contrast)


def _structure(pattern: Array, shadow: Mask, rim: Mask) -> float:
    """Spread of shadow minus rim laid over the marrow's pattern, in log signal."""
    template = shadow / shadow.sum() - rim / rim.sum()
    rows, columns = np.nonzero(template)
    template = template[rows.min() : rows.max() + 1, columns.min() : columns.max() + 1]
    if any(need >= have for need, have in zip(template.shape, pattern.shape, strict=True)):
        return 0.0
    return float(signal.fftconvolve(pattern, template[::-1, ::-1], mode="valid").std())


def outside() -> Sight:
    """Of what the film does not show."""
    return Sight(0.0, THRESHOLD, False, "lies outside the picture")


def lost() -> Sight:
    """Of what changes nothing."""
    return Sight(0.0, THRESHOLD, False, "leaves no shadow of its own")
