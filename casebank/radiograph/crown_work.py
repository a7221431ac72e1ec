"""All that has been done to a tooth or lost from its crown, as pieces."""

from casebank.anatomy import Anatomy
from casebank.radiograph.canal_work_pieces import canal_work
from casebank.radiograph.cavity_forms import CrownSurface
from casebank.radiograph.damage_pieces import caries, chip, open_margin
from casebank.radiograph.materials import Material
from casebank.radiograph.pulp_pieces import chamber
from casebank.radiograph.restoration_pieces import filling
from casebank.radiograph.shapes import Frame, Piece

OF_THE_TOOTH = (Material.DENTINE, Material.ENAMEL, Material.METAL, Material.CERAMIC)


def crown_work(anatomy: Anatomy, drawn: list[Piece], frame: Frame, crown_frame: Frame) -> list[Piece]:
    """What is in the canals, and fillings, caries and breaks that follow the surface of the tooth as it is drawn.

    `drawn` are the pieces of its roots, pulp and crown.
    """
    tooth, work, damage = anatomy.tooth, anatomy.restorations, anatomy.damage
    pieces = canal_work(tooth, work, chamber(tooth, frame), frame)
    if not (work.fillings or damage.caries or damage.chips or damage.open_margins):
        return pieces
    solids = [piece for piece in drawn if piece.material in OF_THE_TOOTH]
    margin = None if anatomy.prosthesis is None else anatomy.prosthesis.margin_above_neck_mm
    if work.fillings or damage.chips:
        surface = CrownSurface.of(solids, crown_frame, tooth)
        for number, place in enumerate(work.fillings):
            pieces += filling(surface, place, number=number)
        for loss in damage.chips:
            pieces += chip(surface, loss)
    if damage.caries or damage.open_margins:
        # heights above the neck are told from its own plane, which a leaning crown leaves
        surface = CrownSurface.of(solids, frame, tooth)
        for decay in damage.caries:
            pieces += caries(surface, decay, below_mm=margin)
        for gap in damage.open_margins:
            pieces += open_margin(surface, gap, margin or 0.0)
    return pieces
