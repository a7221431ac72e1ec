"""Working lengths on film: what is read is what a ruler on the picture reads, and what a film cannot show is said."""

from dataclasses import replace

import numpy as np
import pytest

from casebank.anatomy import Canal, Chamber, Course, Crown, Leg, Placement, Root, Section, Station, Tooth
from casebank.casefile.in_canal import instrument_rod
from casebank.casefile.length_film import read_length, root_end_on_film, working_length_film
from casebank.instruments import Instrument
from casebank.radiograph import Material, Receptor, View, aim, film, magnification, take
from casebank.radiograph.pieces import pieces_of
from casebank.radiograph.projection import path_lengths
from casebank.radiograph.root_pieces import RootForm, root_solid
from casebank.radiograph.shapes import Frame
from casebank.radiograph.trabeculae import even
from tests.casebank.casefile.bank import CANALS, case
from tests.teeth import lower_molar

VIEWS = [View(), View(horizontal_deg=20), View(horizontal_deg=-20, vertical_deg=10)]
PITCH_MM = 0.02


def window(projection, middle_mm, size_px=300):
    """A small part of the same receptor, finely read: pixel centres in millimetres of the whole receptor's film."""
    right, down = middle_mm
    receptor = Receptor(size_px, size_px, PITCH_MM)
    centre = projection.centre_mm + right * projection.right + down * projection.down
    places = (np.arange(size_px) + 0.5 - size_px / 2) * PITCH_MM
    across, along = np.meshgrid(right + places, down + places)
    return replace(projection, centre_mm=centre, receptor=receptor), np.stack([across, along], axis=-1)


def furthest(shown, places, onward):
    """The last lit pixel of a picture in a direction."""
    lit = places[shown]
    return lit[np.argmax(lit @ onward)]


@pytest.mark.parametrize("view", VIEWS, ids=lambda view: f"{view.horizontal_deg:+.0f}")
@pytest.mark.parametrize(("slug", "canal"), CANALS)
def test_a_reading_is_what_a_ruler_on_the_picture_reads_to_a_tenth_of_a_millimetre(slug, canal, view):
    # measured on rays alone, without noise: where steel ends, where the root's shadow ends, and the proportion between
    # picture and life from the distances to the tube
    anatomy, short_mm = case(slug).anatomy, 1.0
    tooth, root = anatomy.tooth, anatomy.tooth.root(anatomy.tooth.canal(canal).root)
    projection = aim(view, Receptor(), anatomy)
    rod = instrument_rod(anatomy, canal, Instrument(15), short_mm)
    part, places = window(projection, projection.to_film_mm(rod.centre_line[:1])[0])

    steel = path_lengths(pieces_of(anatomy, (rod,)), part, even())[..., Material.STEEL] > 0
    line = projection.to_film_mm(rod.centre_line)
    last_mm = line[0] - line[np.searchsorted(np.linalg.norm(line - line[0], axis=1), 1.0)]
    tip = furthest(steel, places, last_mm)
    assert tip == pytest.approx(line[0], abs=0.05)

    frame = Frame(anatomy.placement.to_jaw(np.eye(3)).T, np.zeros(3))
    alone = root_solid(RootForm.of((root,), tooth.crown, None), frame, Material.DENTINE, 1.0)
    _, onward = root_end_on_film(anatomy, root, projection)
    end = furthest(path_lengths(alone, part, even())[..., Material.DENTINE] > 0, places, onward)

    to_film = (projection.source_mm - projection.centre_mm) @ projection.normal
    to_tip = (projection.source_mm - rod.centre_line[0]) @ projection.normal
    reading = read_length(anatomy, view, canal, short_mm)
    assert reading.to_apex_mm == pytest.approx(np.linalg.norm(end - tip) / magnification(to_film, to_tip), abs=0.1)
    assert reading.past_apex == bool((tip - end) @ onward > 0)


@pytest.mark.parametrize("canal", ["MB", "D"])
@pytest.mark.parametrize("bone_seed", [1, 18])
def test_the_tip_in_the_film_itself_stands_where_the_reading_says(canal, bone_seed, monkeypatch):
    monkeypatch.setattr(film.exposure, "expose", lambda signal, *_, **__: signal)  # neither blur nor noise
    anatomy = lower_molar()
    anatomy = replace(anatomy, bone=replace(anatomy.bone, seed=bone_seed), lesions=())
    receptor, instrument = Receptor.of_pixels(725, 550), Instrument(20)
    shown = working_length_film(anatomy, View(), canal, instrument, 0.5, receptor)
    lighter = shown.film.shade - take(anatomy, View(), receptor).shade > 0.02
    rod = instrument_rod(anatomy, canal, instrument, 0.5)
    line = shown.film.projection.project_px(rod.centre_line)
    rows, columns = np.nonzero(lighter)
    places = np.stack([columns + 0.5, rows + 0.5], axis=1)
    onward = line[0] - line[8]
    tip = places[np.argmax(places @ onward)]
    foramen = anatomy.placement.to_jaw(anatomy.tooth.centre_line(anatomy.tooth.canal(canal))[-1:])
    gap_px = np.linalg.norm(shown.film.projection.project_px(foramen)[0] - tip)
    # 400 mm to the film and 386 to the tooth's middle, where the root's tip nearly lies: 1.036
    assert gap_px * receptor.pitch_mm / 1.036 == pytest.approx(shown.reading.to_foramen_mm, abs=0.1)


def straight_root(x_mm=0.0, y_mm=0.0):
    """An upright incisor with a straight root that ends in half an ellipsoid, 0.8 by 1.28 mm wide and 0.8 mm high.

    A straight canal, so far off its middle distally and towards the tongue, ends on that.
    """
    root = Root("R", (0.0, 0.0, 0.0), Course((Leg(12.0),)), (Station(0, 2.5), Station(1, 0.8)), flattening=1.6)
    canal = Canal(
        name="C",
        root="R",
        cusp_to_orifice_mm=9.0,
        orifice_mm=(x_mm, y_mm),
        course=Course((Leg(12.0 + 0.8 * float(np.sqrt(1 - (x_mm / 0.8) ** 2 - (y_mm / 1.28) ** 2))),)),
        orifice=Section(0.6, 0.8),
        constriction=Section(0.25, 0.25),
        foramen=Section(0.4, 0.4),
    )
    crown, chamber = Crown(9.0, 7.0, 6.5, 5.0, 5.5), Chamber(5.0, 8.5, 2.0, 2.5)
    tooth = Tooth(number=41, crown=crown, chamber=chamber, roots=(root,), canals=(canal,))
    return replace(lower_molar(), tooth=tooth, placement=Placement(), lesions=(), prosthesis=None, neighbours=())


def test_in_an_upright_root_the_reading_is_that_of_a_right_triangle():
    # foramen 0.4 mm aside and 12.693 mm deep, root's end 12.8: a tip 1 mm short of the one is 1.177 mm off the other
    reading = read_length(straight_root(x_mm=0.4), View(), "C", 1.0)
    assert reading.to_apex_mm == pytest.approx(1.177, abs=0.01)
    assert reading.to_foramen_mm == pytest.approx(1.0, abs=0.01)
    assert reading.leaves_towards is None
    assert (reading.past_apex, reading.past_foramen) == (False, False)


def test_beyond_the_end_a_reading_says_so():
    # foramen 0.6 mm aside and 0.271 mm above the end: 0.2 mm beyond the one is still short of the other, 1 mm is not
    inside, outside = (read_length(straight_root(x_mm=0.6), View(), "C", short) for short in (-0.2, -1.0))
    assert (inside.past_foramen, inside.past_apex) == (True, False)
    assert (outside.past_foramen, outside.past_apex) == (True, True)
    assert outside.to_apex_mm == pytest.approx(np.hypot(0.6, 0.729), abs=0.01)


@pytest.mark.parametrize(("y_mm", "way"), [(0.9, "receptor"), (-0.9, "tube"), (0.3, None), (-0.3, None)])
def test_a_foramen_that_faces_receptor_or_tube_is_named(y_mm, way):
    reading = read_length(straight_root(y_mm=y_mm), View(), "C", 0.5)
    assert reading.leaves_towards == way
    # at the tip's height the beam falls 2 degrees off the horizontal: the depth along it is that across the jaw
    assert reading.out_of_picture_mm == pytest.approx(y_mm, abs=0.03)


def test_a_canal_that_ends_towards_the_receptor_is_named_and_its_last_millimetres_look_short():
    # 35 degrees out of the picture: a millimetre of the canal shows as cos 35 = 0.82 mm
    steep = read_length(curved_to_the_receptor(), View(), "C", 1.0)
    assert steep.out_of_picture_deg == pytest.approx(35.0, abs=2.5)  # the beam there falls up to 2 degrees off level
    assert steep.leaves_towards == "receptor"
    assert steep.to_foramen_mm == pytest.approx(0.82, abs=0.05)


def curved_to_the_receptor():
    """Root and canal that turn 35 degrees towards the tongue at their end, side by side."""
    turn = (Leg(7.0), Leg(8.0 * np.radians(35.0), 8.0, 270.0))
    anatomy = straight_root()
    root = replace(anatomy.tooth.roots[0], course=Course(turn))
    canal = replace(anatomy.tooth.canals[0], course=Course((*turn, Leg(0.85))))
    return replace(anatomy, tooth=replace(anatomy.tooth, roots=(root,), canals=(canal,)))


@pytest.mark.parametrize("short_mm", [float("nan"), float("inf")])
def test_a_length_that_is_no_number_is_refused(short_mm):
    with pytest.raises(ValueError, match="finite"):
        read_length(lower_molar(), View(), "MB", short_mm)
