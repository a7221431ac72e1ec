"""What a film is: where tube and receptor stand, what the rays pass, and the picture that makes."""

from casebank.radiograph.film import RENDERER_VERSION, Film, take
from casebank.radiograph.materials import Material
from casebank.radiograph.rod import Rod, rod_in_canal
from casebank.radiograph.view import (
    Projection,
    Receptor,
    View,
    aim,
    aim_at,
    magnification,
    penumbra_mm,
    project_canal,
)

__all__ = [
    "RENDERER_VERSION",
    "Film",
    "Material",
    "Projection",
    "Receptor",
    "Rod",
    "View",
    "aim",
    "aim_at",
    "magnification",
    "penumbra_mm",
    "project_canal",
    "rod_in_canal",
    "take",
]
