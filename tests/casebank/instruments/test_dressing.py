"""A medicament: laid to working length at most, and gone only where irrigant is exchanged."""

from math import exp

import pytest

from casebank.instruments import Irrigate, Medicate, Recapitulate
from tests.casebank.instruments.canals import straight
from tests.casebank.instruments.closing import after, prepared

ROUND = (Recapitulate(20.0), Irrigate(2.0))


def left(*moves):
    medication = after(prepared(0.40), Medicate(), *moves).after.contents.medication
    return medication.left_share if medication else 0.0


def test_it_is_laid_in_to_working_length_and_no_deeper():
    step = after(prepared(), Medicate("chlorhexidine gel"))
    assert step.after.contents.medication.to_mm == pytest.approx(11.5)  # half a millimetre short of 12
    assert step.felt.words == "chlorhexidine gel: laid in down to 19.5 mm"
    assert step.after.contents.is_dressed
    assert not step.before.contents.is_dressed


def test_in_a_tight_canal_it_stays_high():
    # 0.05 + 0.02 (12 - s) = 0.15 at s = 7
    assert after(straight(0.05, 0.02), Medicate()).after.contents.medication.to_mm == pytest.approx(7.0)


def test_a_rinse_alone_hardly_reaches_its_end():
    # needle 2 mm short of the working length: exp(-2) reached, of which 2 mL take three quarters
    assert left(Irrigate(2.0)) == pytest.approx(1 - exp(-2) * 0.75)


def test_a_small_file_that_stirs_before_each_rinse_gets_it_out_in_two_rounds():
    # stirred, 0.8 is reached: 0.4 left after one round, 0.16 after two, below the fifth that no longer counts
    assert left(*ROUND) == pytest.approx(0.4)
    assert left(*ROUND, *ROUND) == 0.0


def test_what_comes_out_is_seen():
    assert after(prepared(), Medicate(), Irrigate(2.0)).felt.words.endswith("white paste comes out with it")
    assert "paste" not in after(prepared(), Irrigate(2.0)).felt.words


def test_a_second_medicament_takes_the_place_of_the_first():
    again = after(prepared(0.40), Medicate(), *ROUND, Medicate("chlorhexidine gel")).after.contents.medication
    assert (again.agent, again.left_share) == ("chlorhexidine gel", 1.0)
