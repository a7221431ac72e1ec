"""Path lengths through a mesh by gvxr (dependency group "reference"), an independent X-ray library, without a display.

Described by Vidal and Villard (Comput Med Imaging Graph 2016;49:1, from memory). It draws the triangles with OpenGL and
sums their signed distances to the tube.
"""

from functools import cache

import numpy as np
from gvxrPython3 import gvxr


@cache
def _draws_off_screen():
    gvxr.createNewContext("EGL")
    gvxr.usePointSource()
    gvxr.setMonoChromaticPerPixelAtSDD(40, "keV", 1)  # a length does not ask for it, the library does


def load(mesh):
    """Make one mesh the only thing in the beam."""
    _draws_off_screen()
    gvxr.removePolygonMeshesFromSceneGraph()
    gvxr.makeTriangularMesh("solid", mesh.corners_mm.ravel().tolist(), mesh.triangles.ravel().tolist(), "mm")
    gvxr.setElement("solid", "Ca")
    gvxr.setDensity("solid", 1.55, "g/cm3")
    gvxr.addPolygonMeshAsInnerSurface("solid")


def look(projection):
    """Stand tube and receptor where a projection has them."""
    receptor = projection.receptor
    gvxr.setSourcePosition(*projection.source_mm.tolist(), "mm")
    gvxr.setDetectorPosition(*projection.centre_mm.tolist(), "mm")
    gvxr.setDetectorRightVector(*(_sense(projection) * projection.right).tolist())
    gvxr.setDetectorUpVector(*(-projection.down).tolist())
    gvxr.setDetectorNumberOfPixels(receptor.width_px, receptor.height_px)
    gvxr.setDetectorPixelSize(receptor.pitch_mm, receptor.pitch_mm, "mm")


def trace():
    """How far each ray runs in the loaded mesh, shape (rows, columns), mm, seen from the tube; rows count upwards."""
    return 10 * np.asarray(gvxr.computeLBuffer("solid"))  # the library counts in cm


def through(mesh, projection):
    """How far each ray runs in a mesh, shape (rows, columns), mm, as the film shows it."""
    load(mesh)
    look(projection)
    return trace()[::-1, :: _sense(projection)]


def _sense(projection):
    """1 if the film lies as the tube sees it, -1 if mirrored: half of the quadrants have the jaw frame's other hand."""
    return 1 if np.cross(projection.right, -projection.down) @ projection.normal > 0 else -1
