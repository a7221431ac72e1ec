"""What is usual in each kind of tooth: published figures, their sources, and what the loader refuses."""

from pathlib import Path

import pytest

import casebank.anatomy
from casebank.anatomy import handbook
from casebank.anatomy.configurations import canals_in, parsed
from casebank.anatomy.joins import path_of
from casebank.anatomy.tooth import FDI_NUMBERS
from casebank.casefile.reading import read_document

TEXT = Path(casebank.anatomy.__file__).with_name(handbook.FILE).read_text(encoding="utf-8")
CASES = sorted((Path(__file__).parents[3] / "fixtures" / "cases").glob("*.case.json"))
SIXTEEN = [*range(11, 19), *range(41, 49)]


def test_both_sides_share_sixteen_kinds():
    assert {handbook.entry(number).name for number in FDI_NUMBERS} == {
        handbook.entry(number).name for number in SIXTEEN
    }
    assert len({handbook.entry(number).name for number in SIXTEEN}) == 16
    assert handbook.entry(26) is handbook.entry(16)


@pytest.mark.parametrize("number", [0, 19, 50, -16])
def test_a_tooth_that_does_not_exist_has_no_entry(number):
    with pytest.raises(ValueError, match=f"{number} is no permanent tooth"):
        handbook.entry(number)


def test_the_second_mesiobuccal_canal_is_as_frequent_as_published():
    # check value 80; Martins et al., J Endod 2018;44:1641
    found = handbook.entry(16).frequency("second mesiobuccal canal")
    assert (found.percent, found.low, found.high, found.sample) == (73.8, 48.0, 97.6, 5250)
    assert found.status == "verified"
    shares = handbook.entry(16).root("MB").shares()
    assert sum(percent for name, percent in shares.items() if canals_in(parsed(name)) > 1) == pytest.approx(73.8)
    # 37 of Vertucci's 55 percent with two canals are of type II: 73.8 * 37 / 55 = 49.647
    assert shares["II"] == pytest.approx(49.647, abs=1e-3)


@pytest.mark.parametrize(("number", "percent"), [(41, 20.4), (42, 25.3), (43, 5.9)])
def test_lower_front_teeth_have_a_second_canal_as_often_as_published(number, percent):
    # check value 81; Martins et al., Arch Oral Biol 2020;116:104749
    found = handbook.entry(number).frequency("second canal")
    assert (found.percent, found.status) == (percent, "verified")
    assert 100 - handbook.entry(number).root("R").shares()["I"] == pytest.approx(percent)


@pytest.mark.parametrize(
    ("number", "what", "percent"),
    [
        (17, "second mesiobuccal canal, meta-analysis", 39.0),  # Martins et al. 2020
        (46, "one canal in a single distal root", 76.0),  # Filpo-Perez et al. 2015
        (46, "three canals in the tooth", 79.9),  # Demirbuga et al. 2013
        (46, "three roots", 2.06),  # Demirbuga et al. 2013
        (46, "canal to the furcation", 23.0),  # Vertucci 1984
        (14, "canal to the furcation", 11.0),  # Vertucci 1984
        (44, "type I, clearing study", 61.2),  # PMC4195450
    ],
)
def test_further_verified_frequencies_stand_as_published(number, what, percent):
    found = handbook.entry(number).frequency(what)
    assert (found.percent, found.status) == (percent, "verified")


def test_only_two_lengths_of_roots_and_one_of_a_tooth_were_seen_in_a_source():
    # upper incisors' roots of 13 mm in a stored dental anatomy table, and 22.48 mm of 250 lower first premolars
    seen = set()
    for number in SIXTEEN:
        kind = handbook.entry(number)
        seen |= {(number, length.mean_mm) for length in kind.lengths if length.status == "verified"}
        seen |= {(number, root.length.mean_mm) for root in kind.roots if root.length.status == "verified"}
    assert seen == {(11, 13.0), (12, 13.0), (44, 22.48)}


def test_no_diameter_and_no_depth_is_called_verified():
    # the tables of Wu et al. 2000 and of Deutsch and Musikant 2004 are recalled
    for number in SIXTEEN:
        kind = handbook.entry(number)
        blocks = [kind.crown, kind.depths, kind.chamber, kind.access]
        blocks += [block for root in kind.roots for block in (root.shape, *root.diameters)]
        assert {block.status for block in blocks} <= {"from memory", "teaching choice"}


def test_a_length_range_reaches_three_millimetres_beyond_both_series():
    # upper central incisor: 22.5 (endodontic) and 23.5 (anatomy)
    assert handbook.length_range_mm(21) == pytest.approx((19.5, 26.5))


def test_two_laws_of_symmetry_do_not_hold_in_upper_molars():
    # Krasner and Rankow, J Endod 2004;30:5: both laws of symmetry except upper molars
    left_out = {law.name for law in handbook.laws_of(36)} - {law.name for law in handbook.laws_of(26)}
    assert left_out == {"mirror line", "square to it"}
    assert all("Krasner" in law.source and law.status == "verified" for law in handbook.laws_of(36))
    assert handbook.laws_of(25) == handbook.laws_of(36)


def test_a_canal_of_its_own_diameters_keeps_them_and_others_take_the_first():
    # Wu et al. 2000, from memory: second mesiobuccal canal .16 mm mesio-distally at 1, 2 and 5 mm
    root = handbook.entry(16).root("MB")
    assert root.diameters_of("MB2").mesiodistal_mm == (0.16, 0.16, 0.16)
    assert root.diameters_of("MB") is root.diameters[0]


def test_the_other_width_of_a_root_follows_from_its_flattening():
    # lower first molar, mesial: 1.6, 2.1 and 2.7 mm times 1.9
    assert handbook.entry(46).root("M").shape.buccolingual_mm == pytest.approx((3.04, 3.99, 5.13))


def test_asking_for_what_is_not_described_names_what_is():
    with pytest.raises(KeyError, match="no root X in the upper first molar: there are MB, DB, P"):
        handbook.entry(16).root("X")
    with pytest.raises(KeyError, match="no frequency 'luck': there are second canal"):
        handbook.entry(42).frequency("luck")


@pytest.mark.parametrize("path", CASES, ids=lambda path: path.stem)
def test_the_bundled_cases_are_teeth_the_handbook_knows(path):
    tooth = read_document(path).anatomy.tooth
    kind = handbook.entry(tooth.number)
    low, high = handbook.length_range_mm(tooth.number)
    assert low <= tooth.length_mm <= high
    for name in ("height_mm", "mesiodistal_mm", "buccolingual_mm", "neck_mesiodistal_mm", "neck_buccolingual_mm"):
        usual = getattr(kind.crown, name)
        assert getattr(tooth.crown, name) == pytest.approx(usual, rel=handbook.handbook().spread.size_share), name
    pattern = next(pattern for pattern in kind.patterns if len(pattern.roots) == len(tooth.roots))
    for root, name in zip(tooth.roots, pattern.roots, strict=True):
        allowed = [parsed(share.type) for share in kind.root(name).configurations]
        assert path_of(tooth, root.name) in allowed


def changed(old, new):
    assert old in TEXT
    return TEXT.replace(old, new, 1)


@pytest.mark.parametrize(
    ("text", "sentence"),
    [
        pytest.param(
            changed('name = "upper central incisor"', 'name = "upper central incisor"\ncolour = "white"'),
            r"^a\.toml, upper\.1\.colour: this key is not known here",
            id="unknown key",
        ),
        pytest.param(
            changed("height_mm = 10.5, ", ""),
            r"^a\.toml, upper\.1\.crown\.height_mm: missing: add it",
            id="missing key",
        ),
        pytest.param(
            changed("height_mm = 10.5, ", "height_mm = 105.0, "),
            r"upper\.1\.crown\.height_mm: .*less than 14",
            id="range",
        ),
        pytest.param(
            changed("height_mm = 10.5, ", "height_mm = nan, "),
            r"upper\.1\.crown\.height_mm: .*finite",
            id="not a number",
        ),
        pytest.param(
            changed("height_mm = 10.5, ", 'height_mm = "10.5", '), r"upper\.1\.crown\.height_mm: .*number", id="text"
        ),
        pytest.param(
            changed('source = "wu-2000"', 'source = "hearsay"'),
            r"upper\.1\.roots\.0\.diameters\.0\.source: 'hearsay' is not among \[sources\]",
            id="unknown source",
        ),
        pytest.param(
            changed(', source = "wu-2000"', ""), r"upper\.1\.roots\.0\.diameters\.0\.source: missing", id="no source"
        ),
        pytest.param(
            changed('source = "wu-2000", status = "from memory"', 'source = "wu-2000", status = "likely"'),
            r"upper\.1\.roots\.0\.diameters\.0\.status",
            id="unknown status",
        ),
        pytest.param(
            changed("percent = 73.8, low = 48.0", "percent = 43.8, low = 48.0"),
            "lies outside 48.0 to 97.6",
            id="interval",
        ),
        pytest.param(
            changed('type = "II", percent = 37.0', 'type = "II", percent = 27.0'),
            "configurations add up to 90",
            id="sum",
        ),
        pytest.param(changed('type = "II"', 'type = "IX"'), "'IX' is no path", id="unknown type"),
        pytest.param(
            changed('canals = [["MB1"], ["MB1", "MB2"]', 'canals = [["MB1"], ["MB1", "MB1"]'),
            "2 different names",
            id="names",
        ),
        pytest.param(changed('roots = ["B", "P"]', 'roots = ["B", "Q"]'), "pattern names root Q", id="unknown root"),
        pytest.param(
            changed("mesiodistal_mm = [1.5, 2.4, 3.9]", "mesiodistal_mm = [1.5, 3.9, 2.4]"), "falls away", id="widths"
        ),
        pytest.param(
            changed("roof_mm = 5.2", "roof_mm = 9.9").replace("floor_mm = 10.1", "floor_mm = 9.0", 1),
            "roof below",
            id="roof",
        ),
        pytest.param(TEXT.replace("[upper.8", "[upper.9"), r"describe each of 1 to 8", id="no third molar"),
        pytest.param("[sources", "not valid TOML", id="no TOML"),
    ],
)
def test_a_malformed_handbook_is_refused_by_file_and_field(text, sentence):
    with pytest.raises(ValueError, match=sentence):
        handbook.load(text, name="a.toml")
