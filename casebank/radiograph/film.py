"""A film: one view of an anatomy, exposed and shown."""

from dataclasses import dataclass, replace
from functools import partial

import numpy as np
from numpy.typing import NDArray

from casebank.anatomy import Anatomy, Bone
from casebank.radiograph import exposure
from casebank.radiograph.pieces import pieces_of
from casebank.radiograph.png import grey_png
from casebank.radiograph.projection import scene_of, trace
from casebank.radiograph.rod import Rod
from casebank.radiograph.shapes import Piece
from casebank.radiograph.threads import RENDER_THREADS
from casebank.radiograph.trabeculae import trabeculae
from casebank.radiograph.view import Projection, Receptor, View, aim

RENDERER_VERSION = "2"  # raise it whenever a picture changes: films are cached by it
PREVIEWED_PX = 128  # a picture with a smaller side is never previewed


@dataclass(frozen=True, eq=False)
class Film:
    """One exposed film.

    Attributes
    ----------
    pixels : array, shape (rows, columns), uint8
    shade : array, shape (rows, columns), float32
        The same picture before it was cut into steps: 0 black, 1 white.
    view, receptor : what was asked for
    projection : where points of the jaw fall in the picture
    """

    pixels: NDArray[np.uint8]
    shade: exposure.Signal
    view: View
    receptor: Receptor
    projection: Projection

    @property
    def deep_pixels(self) -> NDArray[np.uint16]:
        """The picture in 16-bit steps, shape (rows, columns)."""
        return exposure.to_16_bit(self.shade)

    def png(self) -> bytes:
        """The picture with its warning and its view as text; nothing in it names a canal, a level or an answer."""
        about = {
            "Title": "Synthetic teaching image",
            "Warning": "Invented anatomy, not for patient care",
            "View": _in_words(self.view),
            "Software": f"teaching film renderer {RENDERER_VERSION}",
        }
        return grey_png(self.pixels, about, self.receptor.pitch_mm)


def take(
    anatomy: Anatomy,
    view: View | None = None,
    receptor: Receptor | None = None,
    rods: tuple[Rod, ...] = (),
    *,
    seed: int = 0,
    threads: int = RENDER_THREADS,
    preview: bool = False,
) -> Film:
    """Expose one film.

    Parameters
    ----------
    view, receptor
        The straight view on a receptor of usual size, if left out.
    rods : tuple of Rod
        Files, cones or fills standing in the tooth; the later one wins where two overlap.
    seed : int
        Of the film's noise; the same seed gives the same picture.
    threads : int
        1 keeps the work to the caller's thread; more share it among the process's render threads.
    preview : bool
        Trace a quarter of the rays, two pixels apart, and draw the rest between them. Away from edges the film differs
        by far less than its noise; edges are softer.

    Raises
    ------
    ValueError
        If the rods and the anatomy hold too many pieces, or more solids along one ray than can be followed.
    """
    view, receptor = view or View(), receptor or Receptor()
    projection = aim(view, receptor, anatomy)
    pieces = pieces_of(anatomy, tuple(rods))
    if preview and min(receptor.width_px, receptor.height_px) >= PREVIEWED_PX:
        half = _open_signal(pieces, _halved(projection), anatomy.bone, threads)
        signal = exposure.doubled(half)[: receptor.height_px, : receptor.width_px]
    else:
        signal = _open_signal(pieces, projection, anatomy.bone, threads)
    signal = exposure.timed(signal)
    exposed = exposure.expose(signal, receptor.pitch_mm, seed, threads=threads)
    shade = exposure.display(exposed, receptor.pitch_mm, threads=threads)
    return Film(exposure.to_8_bit(shade), shade, view, receptor, projection)


def _open_signal(pieces: tuple[Piece, ...], projection: Projection, bone: Bone, threads: int) -> exposure.Signal:
    """Share of the open beam's signal behind the pieces; each band of path lengths is used up where it was traced."""
    receptor = projection.receptor
    scene = scene_of(pieces, projection)
    signal = np.empty((receptor.height_px, receptor.width_px), dtype=np.float32)
    trace(scene, projection, trabeculae(bone.seed), bone.contrast, partial(exposure.transmit, signal), threads=threads)
    return signal


def _halved(projection: Projection) -> Projection:
    """The same film with pixels twice as wide and high; the last column or row of an odd number reaches beyond."""
    receptor = projection.receptor
    columns, rows = -(-receptor.width_px // 2), -(-receptor.height_px // 2)
    beyond_right, beyond_below = 2 * columns - receptor.width_px, 2 * rows - receptor.height_px
    shift = beyond_right * projection.right + beyond_below * projection.down
    return replace(
        projection,
        centre_mm=projection.centre_mm + receptor.pitch_mm / 2 * shift,
        receptor=Receptor(columns, rows, 2 * receptor.pitch_mm),
    )


def _in_words(view: View) -> str:
    return (
        f"horizontal {view.horizontal_deg:+g} deg (+ tube mesial), "
        f"vertical {view.vertical_deg:+g} deg (+ tube occlusal), "
        f"receptor tilt {view.receptor_tilt_deg:+g} deg, roll {view.roll_deg:+g} deg"
    )
