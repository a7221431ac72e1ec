"""How plainly a view shows what is keyed on films: a figure on the scale of Rose's criterion, and kept.

A view costs half a second the first time, since films with and without each thing are made; grades of a case ask for
the same few views, so what was found is kept by anatomy and view.
"""

from collections.abc import Mapping
from dataclasses import dataclass
from functools import lru_cache
from types import MappingProxyType

from casebank.anatomy import Anatomy
from casebank.casefile.readings import AS_PLAIN_DEG, read_curvature
from casebank.radiograph import View
from casebank.radiograph.features import Feature
from casebank.radiograph.superimposed import parting
from casebank.radiograph.visibility import canals_in, thirds, visible

KEPT = 4096  # views: some 100 cases with every view that can be taken of them


@dataclass(frozen=True)
class BendShown:
    """How plainly the most curved canal can be followed in a view, and which canal that is."""

    figure: float
    canal: str


@lru_cache(maxsize=KEPT)
def canal_figures(anatomy: Anatomy, view: View) -> Mapping[str, float]:
    """Each canal by name: how plainly it is counted in a view; 0 for one that lies in line with a plainer one."""
    counted = canals_in(anatomy, view).items()
    return MappingProxyType({name: sight.figure if sight.apart else 0.0 for name, sight in counted})


@lru_cache(maxsize=KEPT)
def bend_figure(anatomy: Anatomy, view: View) -> BendShown:
    """The canal that may be keyed as the most curved in a view and is followed best to the end of its root."""
    readings = read_curvature(anatomy, {1: view})
    top = max(reading.secant_deg for reading in readings)
    canals = [reading.canal for reading in readings if reading.secant_deg > top - AS_PLAIN_DEG]
    return max((BendShown(_followed(anatomy, view, name), name) for name in canals), key=lambda one: one.figure)


@lru_cache(maxsize=KEPT)
def figure_of(anatomy: Anatomy, view: View, feature: Feature) -> float:
    """How plainly a lesion, a root's end, or anything else that is no canal stands out in a view."""
    return visible(anatomy, view, feature).figure


def _followed(anatomy: Anatomy, view: View, name: str) -> float:
    """A line that is counted, or one of those in line with it; the tip of its root stands for a faint last third."""
    counted = canal_figures(anatomy, view)
    line = [name, *(other for other in counted if other != name and not parting(anatomy, view, name, other).apart)]
    tip = figure_of(anatomy, view, Feature("apex", anatomy.tooth.canal(name).root))
    last = max(thirds(anatomy, view, name)[2].figure, tip)
    return min(max(counted[one] for one in line), last)
