"""Where a crown may be opened: on it, and clear of what every opening keeps, its marginal ridges and its edge."""

import numpy as np
from numpy.typing import NDArray

from casebank.anatomy.access_constants import ACCESS
from casebank.anatomy.access_polygon import Plane
from casebank.anatomy.occlusal import MapFrame

SQUARENESS = 4  # power of the rounded rectangle that stands for a crown's outline


def on_crown(frame: MapFrame, places: Plane) -> NDArray[np.float64]:
    """How far out places on the map, shape (n, 2), lie on the crown: 0 its middle, 1 its outline, more off it."""
    return _outwardness(frame, places, 0.0, 0.0)


def may_be_opened(frame: MapFrame, places: Plane) -> NDArray[np.bool_]:
    """Which places on the map, shape (n, 2), keep clear of ridges and edge."""
    return _outwardness(frame, places, ACCESS.rim_mm, ACCESS.edge_mm) <= 1


def drawn_in(frame: MapFrame, places: Plane) -> Plane:
    """Places on the map, shape (n, 2), those on a ridge or edge drawn in towards their middle until clear."""
    middle = places.mean(axis=0)
    steps = np.linspace(1.0, 0.0, 41)
    tried = middle + steps[:, None, None] * (places - middle)
    clear = may_be_opened(frame, tried.reshape(-1, 2)).reshape(tried.shape[:2])
    return np.asarray(tried[clear.argmax(axis=0), np.arange(len(places))])


def _outwardness(frame: MapFrame, places: Plane, rim_mm: float, edge_mm: float) -> NDArray[np.float64]:
    crown = frame.crown
    x, along = (np.asarray(places) * [frame.x_right, frame.along_down]).T
    if frame.seen_from == "above":
        low, high = rim_mm - crown.buccolingual_mm / 2, crown.buccolingual_mm / 2 - rim_mm
    else:
        low, high = 0.0, crown.height_mm - edge_mm
    across = (along - (low + high) / 2) / ((high - low) / 2)
    aside = x / (crown.mesiodistal_mm / 2 - rim_mm)
    if frame.seen_from != "above":  # a front tooth's edge is straight
        return np.asarray(np.maximum(np.abs(aside), np.abs(across)))
    return np.asarray((aside**SQUARENESS + across**SQUARENESS) ** (1 / SQUARENESS))
