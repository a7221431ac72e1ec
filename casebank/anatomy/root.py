"""A root: its course from neck to apex and its width on the way."""

from dataclasses import dataclass
from functools import cached_property
from typing import Literal

import numpy as np
from numpy.typing import NDArray

from casebank.anatomy.course import Course, Points, Position
from casebank.anatomy.finite import evenly_spaced, require_finite
from casebank.anatomy.resorption import ExternalResorption

MOST_TURNED_DEG = 80.0  # a root turned further off the tooth's axis has no section across that axis: a limit of ours


@dataclass(frozen=True)
class Station:
    """Half the mesio-distal width of a root at a share of its course.

    Attributes
    ----------
    share : float
        0 (neck) to 1 (centre of the tip).
    radius_mm : float
        Above 0.

    Raises
    ------
    ValueError
        If the share lies off the root, the radius is not above 0, or one of them is not finite.
    """

    share: float
    radius_mm: float

    def __post_init__(self) -> None:
        require_finite("a station", [("share", self.share), ("radius_mm", self.radius_mm)])
        if not 0 <= self.share <= 1:
            raise ValueError(f"a station at {self.share} lies off the root: give a share from 0 (neck) to 1 (tip)")
        if not self.radius_mm > 0:
            raise ValueError(f"a root radius of {self.radius_mm} mm cannot be: give a radius above 0 mm")


@dataclass(frozen=True)
class Root:
    """One root.

    Attributes
    ----------
    name : str
        Short name, such as "M".
    start_mm : tuple of three floats
        Centre of its coronal end, tooth frame.
    course : Course
        From there to the centre of its rounded tip, the apex lying one tip radius further on; or to its cut end.
    stations : tuple of Station
        Half widths from neck (share 0) to tip (share 1), ascending, at least two.
    flattening : float
        Bucco-lingual over mesio-distal width, 0.5 to 4.
    end : str
        "rounded": a tip of the last radius beyond the course's end. "open": still growing, cut off square at the
        course's end. "resorbed": its tip eaten away, blunt and uneven there.
    lost_mm : float
        How much of a resorbed root's length is gone; 0 for any other.
    resorptions : tuple of ExternalResorption

    Raises
    ------
    ValueError
        Naming the root, if the stations do not rise from 0 to 1, the flattening is out of range, a coordinate is not
        finite, the course turns more than 80 degrees off the tooth's axis, a resorption lies off the root, or only one
        of a resorbed end and a lost length is given.
    """

    name: str
    start_mm: Position
    course: Course
    stations: tuple[Station, ...]
    flattening: float = 1.0
    end: Literal["rounded", "open", "resorbed"] = "rounded"
    lost_mm: float = 0.0
    resorptions: tuple[ExternalResorption, ...] = ()

    def __post_init__(self) -> None:
        if not self.name:
            raise ValueError("a root needs a name, such as M")
        require_finite(f"root {self.name}", [("start_mm", coordinate) for coordinate in self.start_mm])
        shares = [station.share for station in self.stations]
        if len(shares) < 2 or shares[0] != 0 or shares[-1] != 1 or sorted(set(shares)) != shares:
            raise ValueError(f"root {self.name}: stations must rise from share 0 to share 1, each once")
        if not 0.5 <= self.flattening <= 4:
            raise ValueError(f"root {self.name}: a flattening of {self.flattening} is no root: keep it within 0.5 to 4")
        down = -self.course.directions(evenly_spaced(self.course.length_mm, 0.5))[:, 2]
        turned_deg = float(np.degrees(np.arccos(np.clip(down.min(), -1.0, 1.0))))
        if turned_deg > MOST_TURNED_DEG:
            raise ValueError(
                f"root {self.name} turns {turned_deg:.0f} degrees off the tooth's axis: "
                f"bend or lean it less, {MOST_TURNED_DEG:.0f} degrees are the most that can be drawn"
            )
        require_finite(f"root {self.name}", [("lost_mm", self.lost_mm)])
        if self.lost_mm < 0 or (self.lost_mm > 0) != (self.end == "resorbed"):
            raise ValueError(
                f"root {self.name}: an end that is {self.end} and a loss of {self.lost_mm} mm do not fit: a resorbed "
                "root has lost more than 0 mm, any other none"
            )
        for bite in self.resorptions:
            if bite.at_mm > self.course.length_mm:
                raise ValueError(
                    f"root {self.name}: a resorption at {bite.at_mm} mm lies below its end at "
                    f"{self.course.length_mm:.1f} mm: move it up"
                )

    def centre_line(self, *, step_mm: float = 0.5) -> Points:
        """Points from coronal end to tip centre, shape (n, 3), tooth frame, mm, evenly spaced within `step_mm`.

        ValueError if the step is not above 0 mm.
        """
        return self.course.points(self.start_mm, step_mm=step_mm)

    def radii_mm(self, count: int) -> NDArray[np.float64]:
        """Half mesio-distal widths, shape (count,), mm, evenly spaced along the course, so at `centre_line`'s points.

        ValueError if the count is below 2.

        >>> from casebank.anatomy.course import Leg
        >>> cone = Root("R", (0.0, 0.0, 0.0), Course((Leg(12.0),)), (Station(0, 2.0), Station(1, 0.5)))
        >>> cone.radii_mm(3).tolist()
        [2.0, 1.25, 0.5]
        """
        if count < 2:
            raise ValueError(f"a root has two ends: ask for 2 widths or more, not {count}")
        shares = [station.share for station in self.stations]
        radii = [station.radius_mm for station in self.stations]
        return np.asarray(np.interp(np.linspace(0, 1, count), shares, radii))

    @cached_property
    def apex_mm(self) -> NDArray[np.float64]:
        """The root's tip, shape (3,), tooth frame: a rounded one lies a tip radius beyond the end of its course."""
        end = np.array([self.course.length_mm])
        beyond_mm = self.stations[-1].radius_mm if self.end == "rounded" else 0.0
        tip = self.course.at(self.start_mm, end)[0] + beyond_mm * self.course.directions(end)[0]
        tip.flags.writeable = False  # shared by all who ask
        return np.asarray(tip)
