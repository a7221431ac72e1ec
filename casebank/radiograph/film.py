"""A film: one view of an anatomy, exposed and shown."""

import io
import zlib
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray
from PIL import Image, PngImagePlugin

from casebank.anatomy import Anatomy
from casebank.radiograph import exposure
from casebank.radiograph.pieces import pieces_of
from casebank.radiograph.projection import path_lengths
from casebank.radiograph.rod import Rod
from casebank.radiograph.trabeculae import trabeculae
from casebank.radiograph.view import Projection, Receptor, View, aim

RENDERER_VERSION = "1"  # raise it whenever a picture changes: films are cached by it
PNG_COMPRESSION = 1  # noise does not compress; speed matters
PNG_STRATEGY = zlib.Z_HUFFMAN_ONLY  # no search for repeats, which noise does not have: smaller and quicker


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
        about = PngImagePlugin.PngInfo()
        about.add_text("Title", "Synthetic teaching image")
        about.add_text("Warning", "Invented anatomy, not for patient care")
        about.add_text("View", _in_words(self.view))
        about.add_text("Software", f"teaching film renderer {RENDERER_VERSION}")
        out = io.BytesIO()
        dots_per_inch = 25.4 / self.receptor.pitch_mm
        Image.fromarray(self.pixels).save(
            out,
            "PNG",
            pnginfo=about,
            compress_level=PNG_COMPRESSION,
            compress_type=PNG_STRATEGY,
            dpi=(dots_per_inch, dots_per_inch),
        )
        return out.getvalue()


def take(
    anatomy: Anatomy,
    view: View | None = None,
    receptor: Receptor | None = None,
    rods: tuple[Rod, ...] = (),
    *,
    seed: int = 0,
    threads: int = 2,
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
        Threads the rays are shared among.

    Raises
    ------
    ValueError
        If the rods and the anatomy hold more solids along one ray than can be followed.
    """
    view, receptor = view or View(), receptor or Receptor()
    projection = aim(view, receptor, anatomy)
    paths = path_lengths(
        pieces_of(anatomy, tuple(rods)),
        projection,
        trabeculae(anatomy.bone.seed),
        anatomy.bone.contrast,
        threads=threads,
    )
    signal = exposure.timed(exposure.transmission(paths, threads=threads))
    shade = exposure.display(exposure.expose(signal, receptor.pitch_mm, seed), receptor.pitch_mm)
    return Film(exposure.to_8_bit(shade), shade, view, receptor, projection)


def _in_words(view: View) -> str:
    return (
        f"horizontal {view.horizontal_deg:+g} deg (+ tube mesial), "
        f"vertical {view.vertical_deg:+g} deg (+ tube occlusal), "
        f"receptor tilt {view.receptor_tilt_deg:+g} deg, roll {view.roll_deg:+g} deg"
    )
