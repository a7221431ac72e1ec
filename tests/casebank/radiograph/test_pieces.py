"""What an anatomy's numbers become: widths, depths and places read back from rays through the pieces."""

from dataclasses import replace

import numpy as np
import pytest

from casebank.anatomy import Chamber, Lesion, Narrowing, Neighbour, Placement, Support
from casebank.radiograph import Material, Receptor, View, aim_at, root_pieces
from casebank.radiograph.neighbours import usual
from casebank.radiograph.pieces import pieces_of
from casebank.radiograph.projection import path_lengths
from casebank.radiograph.shapes import JAW, Piece
from casebank.radiograph.trabeculae import even
from tests.teeth import lower_molar

PITCH = 0.05


def upright():
    """The molar square to the beam, with nothing on or beside it."""
    return replace(lower_molar(), placement=Placement(), prosthesis=None, neighbours=(), lesions=(), support=Support())


def width_of(pieces: tuple[Piece, ...], material: Material, point, *, least=0.02):
    """How wide and how deep a material is on a level line through a point of the jaw, mm, in a distant beam."""
    receptor = Receptor(400, 64, PITCH)
    view = View(source_to_receptor_mm=2000, object_to_receptor_mm=0)
    projection = aim_at(np.array(point, dtype=float), 37, view, receptor)
    row = path_lengths(pieces, projection, even())[32, :, material]
    middle = 200
    left = right = middle
    while row[left - 1] > least:
        left -= 1
    while row[right + 1] > least:
        right += 1
    return (right - left + 1) * PITCH, float(row[middle])


@pytest.mark.parametrize(("name", "depth"), [("MB", 3.0), ("MB", 8.0), ("D", 5.0)])
def test_a_canal_is_as_narrow_and_as_wide_as_its_anatomy_says(name, depth):
    anatomy = upright()
    canal = anatomy.tooth.canal(name)
    at = canal.course.at(anatomy.tooth.orifice_of(canal), np.array([depth]))[0]
    only = tuple(piece for piece in pieces_of(anatomy) if piece.material == Material.PULP)
    if name == "MB":  # leave the canal behind it out
        only = tuple(piece for piece in only if piece.at_mm[1] < 0.05)
    levels = canal.levels()
    wide = float(np.interp(depth, levels, canal.wide_mm(levels)))
    narrow = float(np.interp(depth, levels, canal.narrow_mm(levels)))
    seen_narrow, seen_wide = width_of(only, Material.PULP, at, least=0.0)
    assert seen_narrow == pytest.approx(narrow, abs=0.11)  # two pixels of 0.05 mm
    assert seen_wide == pytest.approx(wide, abs=0.08)


def test_a_narrowing_narrows_the_canal_on_the_film():
    anatomy = upright()
    tight = replace(anatomy.tooth.canal("D"), narrowings=(Narrowing(5.0, 0.15),))
    canals = tuple(tight if canal.name == "D" else canal for canal in anatomy.tooth.canals)
    narrowed = replace(anatomy, tooth=replace(anatomy.tooth, canals=canals))
    at = (2.5, 0.0, anatomy.tooth.orifice_of(tight)[2] - 5.0)
    pulp = [tuple(p for p in pieces_of(each) if p.material == Material.PULP) for each in (anatomy, narrowed)]
    open_mm, tight_mm = (width_of(pieces, Material.PULP, at, least=0.0)[0] for pieces in pulp)
    assert open_mm > 0.5
    assert tight_mm == pytest.approx(0.15, abs=0.11)


@pytest.mark.parametrize("share", [0.3, 0.55, 0.85])
def test_a_root_is_as_wide_as_its_stations_say(share):
    anatomy = upright()
    root = anatomy.tooth.root("D")
    at = root.course.at(root.start_mm, np.array([share * root.course.length_mm]))[0]
    station = next(station for station in root.stations if station.share == pytest.approx(share, abs=0.06))
    dentine = tuple(piece for piece in pieces_of(anatomy) if piece.material == Material.DENTINE)
    wide, deep = width_of(dentine, Material.DENTINE, at)
    if share > 0.5:  # above, rib and trunk join it to the other root
        assert wide == pytest.approx(2 * station.radius_mm, abs=0.25)
    assert deep == pytest.approx(2 * station.radius_mm * root.flattening, rel=0.1)


def test_the_chamber_lies_between_its_roof_and_its_floor():
    anatomy = upright()
    tooth = replace(anatomy.tooth, chamber=Chamber(5.0, 8.3, 5.6, 4.2))
    pulp = tuple(p for p in pieces_of(replace(anatomy, tooth=tooth)) if p.material == Material.PULP)
    height = tooth.crown.height_mm
    # on the tooth's axis, half-way between the mesial and the distal orifices
    roof, middle, floor = (depth_at(pulp, Material.PULP, (0.0, 0.0, height - depth)) for depth in (5.2, 6.6, 8.0))
    assert floor == pytest.approx(4.2, abs=0.1)
    assert floor > middle > roof > 1.5
    for depth in (4.7, 8.6):
        assert depth_at(pulp, Material.PULP, (0.0, 0.0, height - depth)) == 0


def depth_at(pieces: tuple[Piece, ...], material: Material, point) -> float:
    """How much of a material one ray meets, mm."""
    projection = aim_at(np.array(point, dtype=float), 37, View(object_to_receptor_mm=0), Receptor(65, 65, PITCH))
    return float(path_lengths(pieces, projection, even())[32, 32, material])


def test_the_furcation_is_an_arch_at_the_depth_its_anatomy_says():
    anatomy = upright()
    dentine = tuple(piece for piece in pieces_of(anatomy) if piece.material == Material.DENTINE)
    projection = aim_at(np.array([0.0, 0, -4.0]), 37, View(object_to_receptor_mm=0), Receptor(201, 201, 0.02))
    tissue = path_lengths(dentine, projection, even())[..., Material.DENTINE] > 0
    # lowest dentine in each column between the roots: highest in the middle, lower towards both roots
    roof = [100 - int(np.nonzero(tissue[:, column])[0].max()) for column in (80, 100, 120)]
    depth = anatomy.tooth.crown.height_mm + 4.0 - roof[1] * 0.02
    assert depth == pytest.approx(anatomy.tooth.furcation_mm, abs=0.15)
    assert roof[1] > max(roof[0], roof[2])


@pytest.mark.parametrize("share", [0.3, 0.6])
def test_the_ribs_between_three_roots_do_not_stand_out_of_their_trunk(share):
    # from neck to furcation the trunk is one body: no step of half a millimetre between rays 0.05 mm apart. At the neck
    # of the table's upper first molar it is 10.0 mm deep, of which three quarters stay down to 0.65 of the height
    form = usual(16).roots
    at = np.array([0.0, 0.0, share * form.furcation_z_mm])
    view = View(source_to_receptor_mm=2000, object_to_receptor_mm=0)
    projection = aim_at(at, 16, view, Receptor(400, 64, PITCH))
    deep_mm = path_lengths(tuple(root_pieces.dentine(form, JAW)), projection, even())[32, :, Material.DENTINE]
    trunk_mm = deep_mm[200 - 50 : 200 + 51]  # 2.5 mm to either side of the middle
    assert np.abs(np.diff(trunk_mm)).max() < 0.5
    assert trunk_mm.min() > 7.0


def test_ligament_space_and_lamina_surround_the_root_and_end_at_the_crest():
    anatomy = upright()
    pieces = pieces_of(anatomy)
    root = anatomy.tooth.root("D")
    projection = aim_at(np.array([0.0, 0, -8.0]), 37, View(object_to_receptor_mm=0), Receptor(401, 401, 0.05))
    ligament = tuple(piece for piece in pieces if piece.priority == 40)
    seen = path_lengths(ligament, projection, even())[..., Material.SOFT] > 0
    rim = -8.0 + (200 - int(np.nonzero(seen.any(axis=1))[0].min())) * 0.05
    assert rim == pytest.approx(-1.5 + 0.4, abs=0.1)  # crest 1.5 mm below the neck, the space opening just above it
    at = root.course.at(root.start_mm, np.array([0.7 * root.course.length_mm]))[0]
    with_space = width_of(ligament, Material.SOFT, at)[0]
    without = width_of(tuple(p for p in pieces if p.priority == 70), Material.DENTINE, at)[0]
    assert with_space - without == pytest.approx(2 * anatomy.support.ligament_mm, abs=0.11)


def test_a_lesion_has_the_sizes_its_anatomy_says():
    anatomy = replace(upright(), lesions=(Lesion("M", 5.0, 4.0, 6.0, seed=4),))
    tip = anatomy.tooth.root("M").apex_mm
    lesion = tuple(piece for piece in pieces_of(anatomy) if piece.priority == 50)
    projection = aim_at(tip - [0, 0, 2.0], 37, View(object_to_receptor_mm=0), Receptor(401, 401, 0.05))
    path = path_lengths(lesion, projection, even())[..., Material.SOFT]
    rows, columns = np.nonzero(path > 0)
    assert 0.88 * 6.0 < np.ptp(rows) * 0.05 <= 6.05
    assert 0.88 * 5.0 < np.ptp(columns) * 0.05 <= 5.05
    assert path.max() <= 4.05


def test_a_perforated_plate_is_gone_where_a_thinned_one_is_not():
    paths = {}
    for cortex in ("whole", "thinned", "perforated"):
        lesion = Lesion("M", 5.0, 4.0, 6.0, cortex=cortex, side="buccal", seed=4)
        anatomy = replace(upright(), lesions=(lesion,))
        tip = anatomy.tooth.root("M").apex_mm
        projection = aim_at(tip - [0, 0, 1.9], 37, View(object_to_receptor_mm=0), Receptor(65, 65, PITCH))
        paths[cortex] = float(path_lengths(pieces_of(anatomy), projection, even())[32, 32, Material.CORTICAL])
    # both plates are 1.35 mm thick at this height; the lesion leaves a quarter of one, then none of it
    assert paths["whole"] == pytest.approx(2.7, abs=0.3)
    assert paths["whole"] - paths["thinned"] == pytest.approx(0.75 * 1.35, abs=0.3)
    assert paths["whole"] - paths["perforated"] == pytest.approx(1.35, abs=0.25)


def test_a_neighbour_stands_where_it_is_put_and_a_pontic_has_no_root():
    base = upright()
    natural, pontic = (
        pieces_of(replace(base, prosthesis=lower_molar().prosthesis, neighbours=(Neighbour(36, -10.6, state),)))
        for state in ("natural", "pontic")
    )
    root = (-10.6 - 0.265 * 9.0, 0.0, -5.0)  # below the neck of its mesial root
    assert depth_at(natural, Material.DENTINE, root) > 3
    assert depth_at(pontic, Material.DENTINE, root) == 0
    assert depth_at(pontic, Material.METAL, (-10.6, 0.0, 3.5)) > 4


def test_beyond_the_midline_a_neighbour_is_mirrored():
    anatomy = replace(
        upright(), tooth=replace(upright().tooth, number=31), neighbours=(Neighbour(36, 12), Neighbour(46, -12))
    )
    spots = np.array([piece.at_mm for piece in pieces_of(anatomy) if piece.material == Material.ENAMEL])
    right, left = spots[spots[:, 0] > 8], spots[spots[:, 0] < -8]
    assert np.sort(right[:, 0]) == pytest.approx(np.sort(-left[:, 0]))


def test_the_same_anatomy_gives_the_same_pieces_once_only():
    assert pieces_of(lower_molar())[0] is pieces_of(lower_molar())[0]
