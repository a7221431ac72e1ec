"""A case made inconsistent in one way is told of that way, in one sentence with the field and what to do."""

import json
from copy import deepcopy
from pathlib import Path

import pytest

from casebank.casefile import Document, read_document
from casebank.casefile.consistency import inconsistencies

CASES = sorted((Path(__file__).parents[3] / "fixtures" / "cases").glob("*.case.json"))
LEANING = next(path for path in CASES if path.name.startswith("leaning-abutment"))


class Draft:
    """The leaning abutment as plain data, changed step by step. Its tooth is 37, its lesion on root M."""

    def __init__(self, record):
        self.record = deepcopy(record)

    def finding(self, letter):
        return next(finding for finding in self.record["chart"] if finding["letter"] == letter)

    def says(self, letter, response, kind=None):
        """Give a finding's test another response, and another kind where one is named."""
        test = self.finding(letter)["test"]
        test["response"] = response
        if kind:
            test["kind"] = kind
        return self

    def untested(self, *letters):
        for letter in letters:
            self.finding(letter).pop("test")
        return self

    def sign(self, sign, presence, letter="b"):
        self.finding(letter).setdefault("signs", {})[sign] = presence
        return self

    def state(self, fact, value):
        for finding in self.record["chart"]:
            finding.get("states", {}).pop(fact, None)
        if value is not None:
            self.finding("a").setdefault("states", {})[fact] = value
        return self

    def term(self, pulpal=None, apical=None, terms=None):
        given = {"pulpal": pulpal, "apical": apical, "terms": terms}
        self.record["diagnosis"] |= {field: value for field, value in given.items() if value is not None}
        return self

    def key(self, task, part, value):
        self.record["choices"][task][part] = value
        return self

    def without_lesion(self):
        self.record["anatomy"]["lesions"] = []
        return self

    def told(self):
        return inconsistencies(Document.model_validate_json(json.dumps(self.record)))


@pytest.fixture
def case():
    return Draft(json.loads(LEANING.read_text(encoding="utf-8")))


@pytest.mark.parametrize("path", CASES, ids=lambda path: path.name.removesuffix(".case.json"))
def test_a_bundled_case_agrees_with_itself(path):
    assert inconsistencies(read_document(path)) == ()


def only(sentences):
    (sentence,) = sentences
    assert "\n" not in sentence
    assert sentence.count(": ") >= 2, "field, what is wrong, what to do"
    return sentence


# ---- pulpal terms


@pytest.mark.parametrize("response", ["normal", "heightened", "lingering"])
def test_necrosis_is_denied_by_a_pulp_that_answers(case, response):
    # the silence of the electric test is kept, so that only the answer speaks against the term
    told = case.says("f", "none").says("c", response).state("label_fit", None).told()
    assert only(told).startswith(f"diagnosis.pulpal: finding c (cold on 37: {response}) speaks against pulp necrosis")


def test_necrosis_needs_a_test_that_finds_no_answer(case):
    told = case.untested("c", "f").told()
    assert "no pulp test of the tooth itself shows what pulp necrosis needs (none)" in only(told)


def test_a_test_that_cannot_be_done_proves_nothing(case):
    assert "what pulp necrosis needs" in only(case.says("c", "cannot be done").told())


def test_a_silent_control_does_not_stand_in_for_the_tooth(case):
    told = case.says("c", "cannot be done").says("d", "none").told()
    assert "no pulp test of the tooth itself" in only(told)


def test_a_doubtful_silence_carries_necrosis_only_beside_lost_bone(case):
    assert case.told() == ()  # under metal, with a lesion
    assert "what pulp necrosis needs" in only(case.without_lesion().told())


def test_a_plain_silence_carries_necrosis_without_lost_bone(case):
    assert case.says("c", "none").without_lesion().told() == ()


VITAL = [
    ("normal pulp", "normal", "heightened"),
    ("normal pulp", "normal", "lingering"),
    ("reversible pulpitis", "heightened", "lingering"),
    ("asymptomatic irreversible pulpitis", "normal", "lingering"),
    ("asymptomatic irreversible pulpitis", "heightened", "lingering"),
]


@pytest.mark.parametrize(("term", "fits", "denies"), VITAL)
def test_a_living_pulp_s_term_fits_its_own_response_and_is_denied_by_a_worse_one(case, term, fits, denies):
    assert case.term(pulpal=term).says("c", fits).told() == ()
    told = case.says("f", denies).told()
    assert only(told).startswith(f"diagnosis.pulpal: finding f (electric on 37: {denies}) speaks against {term}")


@pytest.mark.parametrize(
    ("term", "needs"),
    [
        ("normal pulp", "normal"),
        ("reversible pulpitis", "heightened"),
        ("symptomatic irreversible pulpitis", "lingering"),
        ("asymptomatic irreversible pulpitis", "heightened or normal"),
    ],
)
def test_a_living_pulp_s_term_needs_a_pulp_that_answers(case, term, needs):
    assert f"what {term} needs ({needs})" in only(case.term(pulpal=term).says("c", "none").told())


def test_a_mild_response_is_no_irreversible_pulpitis_unless_it_hurts_by_itself(case):
    case.term(pulpal="symptomatic irreversible pulpitis").says("c", "heightened")
    assert "needs (lingering)" in only(case.told())
    assert case.sign("spontaneous pain", "present", letter="a").told() == ()


def test_pain_that_comes_by_itself_does_not_make_a_silent_pulp_an_inflamed_one(case):
    case.term(pulpal="symptomatic irreversible pulpitis").says("c", "none")
    assert "needs (lingering)" in only(case.sign("spontaneous pain", "present", letter="a").told())


def test_a_lingering_response_is_enough_without_spontaneous_pain(case):
    assert case.term(pulpal="symptomatic irreversible pulpitis").says("c", "lingering").told() == ()


@pytest.mark.parametrize(
    ("term", "response"),
    [
        ("normal pulp", "normal"),
        ("reversible pulpitis", "heightened"),
        ("asymptomatic irreversible pulpitis", "normal"),
    ],
)
def test_spontaneous_pain_denies_the_terms_without_it(case, term, response):
    told = case.term(pulpal=term).says("c", response).sign("spontaneous pain", "present", letter="a").told()
    assert f"spontaneous pain is present, which {term} does not have" in only(told)


@pytest.mark.parametrize(
    ("term", "earlier"),
    [
        ("previously treated", "root filled"),
        ("previously treated", "apical surgery"),
        ("previously treated", "opened, with a complication"),
        ("previously initiated therapy", "opened"),
        ("previously initiated therapy", "opened, with a complication"),
    ],
)
def test_a_term_of_earlier_treatment_rests_on_the_fact_and_needs_no_pulp_test(case, term, earlier):
    case.term(pulpal=term).untested("c", "f")
    assert case.state("earlier", earlier).told() == ()
    assert f"{term} needs a finding that states earlier as one of" in only(case.state("earlier", "none").told())
    assert "not nothing" in only(case.state("earlier", None).told())


@pytest.mark.parametrize("earlier", ["opened", "root filled"])
def test_a_tooth_treated_before_takes_no_other_term(case, earlier):
    told = only(case.state("earlier", earlier).told())
    assert f"states earlier as {earlier}, so pulp necrosis no longer describes the pulp" in told


# ---- apical terms


@pytest.mark.parametrize("kind", ["percussion", "palpation", "bite"])
def test_symptomatic_periodontitis_rests_on_any_tenderness_of_the_tooth(case, kind):
    assert case.says("g", "not tender").says("i", "tender", kind=kind).told() == ()


def test_symptomatic_periodontitis_needs_tenderness_of_the_tooth_itself(case):
    told = case.says("g", "not tender").says("h", "tender").told()  # only the control 35 is tender
    assert only(told).startswith(
        "diagnosis.apical: symptomatic apical periodontitis needs the tooth itself to be tender"
    )


def test_symptomatic_periodontitis_needs_no_lesion(case):
    assert case.says("c", "none").without_lesion().told() == ()


def test_asymptomatic_periodontitis_needs_a_lesion_and_no_tenderness(case):
    case.term(apical="asymptomatic apical periodontitis").says("c", "none")
    assert "finding g (percussion on 37: tender) speaks against asymptomatic" in only(case.told())
    assert case.says("g", "not tender").told() == ()
    assert "needs bone lost round a root's end" in only(case.without_lesion().told())


def test_normal_apical_tissues_have_no_lesion_and_no_tenderness(case):
    case.term(apical="normal apical tissues").says("c", "none").says("g", "not tender")
    assert "the anatomy has a lesion, which normal apical tissues do not" in only(case.told())
    assert case.without_lesion().told() == ()
    assert "finding i (palpation on 37: tender) speaks against normal" in only(case.says("i", "tender").told())


def test_tenderness_from_elsewhere_is_taken_where_the_findings_are_said_not_to_agree(case):
    case.term(apical="normal apical tissues").says("c", "none").without_lesion()
    assert "finding g" in only(case.told())
    assert "finding g" in only(case.state("label_fit", None).told())
    assert case.state("label_fit", "several causes to weigh").told() == ()


@pytest.mark.parametrize(
    ("term", "sign"), [("chronic apical abscess", "sinus tract"), ("acute apical abscess", "swelling")]
)
def test_an_abscess_needs_its_sign(case, term, sign):
    assert f"{term} needs the sign {sign}" in only(case.term(apical=term).told())
    assert case.sign(sign, "present").told() == ()


@pytest.mark.parametrize("sign", ["sinus tract", "swelling"])
def test_the_sign_of_an_abscess_denies_a_term_without_one(case, sign):
    assert f"the sign {sign} is present, which makes an abscess" in only(case.sign(sign, "present").told())


def test_condensing_osteitis_is_left_to_the_author(case):
    # the anatomy has no way to describe denser bone, and tenderness varies
    case.term(apical="condensing osteitis")
    for response in ("tender", "not tender"):
        assert case.says("g", response).told() == ()
    assert case.sign("swelling", "present").told() == ()


# ---- controls and agreement


def test_a_pulp_test_stands_beside_a_control(case):
    assert case.untested("d").told() == ()  # 34 is still there
    assert "finding c tests the pulp and no other tooth is tested beside it" in only(case.untested("e").told())


def test_a_control_that_cannot_be_tested_is_none(case):
    assert "add a control tooth" in only(case.says("d", "cannot be done").says("e", "cannot be done").told())


def test_percussion_of_a_neighbour_is_no_control_of_a_pulp_test(case):
    assert "add a control tooth" in only(case.untested("d", "e").told())  # h, percussion of 35, is still there


def test_tests_that_contradict_each_other_are_not_called_agreeing(case):
    case.term(pulpal="reversible pulpitis").says("c", "heightened").says("f", "none")
    told = only(case.told())
    assert "label_fit is stated as agree, yet finding f is silent and finding c answers" in told
    assert case.state("label_fit", "contradict each other").told() == ()


# ---- what findings say


def test_a_finding_s_words_and_its_test_name_one_tooth(case):
    case.finding("h")["test"]["tooth"] = 36
    assert only(case.told()).startswith("chart[7].test.tooth: 36, while finding h reads 'percussion 35 (control)'")


def test_a_finding_whose_words_name_no_tooth_is_not_argued_with(case):
    case.finding("g")["item"] = "tapping with a mirror, 30 s apart"
    assert case.told() == ()


def test_a_sign_is_present_or_absent_not_both(case):
    told = case.term(apical="acute apical abscess").sign("swelling", "present", letter="i").told()
    assert any(
        sentence.startswith("chart[8].signs: swelling is present in finding i and absent in finding b")
        for sentence in told
    )


# ---- keys


@pytest.mark.parametrize("cited", ["z", "film 2", "film 0", "percussion"])
def test_a_proof_cites_findings_of_the_chart_and_given_films(case, cited):
    # film 2 is whichever film a student takes second, so a key cannot mean one
    told = case.key("proof", "best", ["c", cited]).told()
    assert only(told).startswith(f"choices.proof.best: {cited!r} is no finding of this chart and no film given")


def test_a_proof_s_part_credit_is_looked_at_too(case):
    assert only(case.key("proof", "partly", {"y": 0.5}).told()).startswith("choices.proof.partly: 'y' is no finding")


@pytest.mark.parametrize(
    ("part", "value"), [("best", ["carved"]), ("partly", {"carved": 0.5}), ("unsafe", {"carved": "It hurts."})]
)
def test_a_key_names_options_of_its_task(case, part, value):
    told = case.key("axis", part, value).told()
    assert only(told).startswith(f"choices.axis.{part}: 'carved' is no option of this task: use one of crown, roots")


def test_treating_alone_a_case_that_counts_as_high_is_refused(case):
    case.key("decision", "unsafe", {}).key("decision", "best", ["treat"])
    told = only(case.told())
    assert told.startswith("choices.decision.best: treat is keyed, and the case counts as high")
    assert case.key("decision", "best", ["supervised"]).told() == ()


def test_treating_alone_a_case_that_counts_as_moderate_is_no_contradiction(case):
    # an upright first molar (moderate) with a bend of 18 degrees (moderate), no bridge, its canals in plain sight
    anatomy = case.record["anatomy"]
    anatomy |= {"prosthesis": None, "neighbours": []}
    anatomy["placement"]["tilt_deg"] = anatomy["tooth"]["crown"]["off_root_mesiodistal_deg"] = 0.0
    anatomy["tooth"]["number"], anatomy["tooth"]["chamber"]["roof_mm"] = 36, 5.0
    for canal in anatomy["tooth"]["canals"]:
        canal["orifice"] = {"narrow_mm": 0.9, "wide_mm": 0.9}
    told = case.key("decision", "unsafe", {}).key("decision", "best", ["treat"]).told()
    assert not [sentence for sentence in told if sentence.startswith("choices.")]


def test_treating_alone_beside_a_referral_is_refused_as_well(case):
    case.key("decision", "unsafe", {}).key("decision", "best", ["refer", "treat"])
    assert "treat is keyed" in only(case.told())


# ---- terms and lesion


def test_a_term_is_one_of_the_rubric_s(case):
    told = case.term(pulpal="dead pulp").told()
    assert only(told).startswith("diagnosis.pulpal: 'dead pulp' is no term of this rubric: use one of normal pulp")
    told = case.term(pulpal="pulp necrosis", apical="granuloma").told()
    assert only(told).startswith("diagnosis.apical: 'granuloma' is no term of this rubric")


@pytest.mark.parametrize("terms", ["consensus terms", "terms of edition 12345"])
def test_the_terms_carry_an_edition_with_its_year(case, terms):
    assert only(case.term(terms=terms).told()).startswith(f"diagnosis.terms: {terms!r} names no year")


def test_the_marked_root_carries_the_lesion(case):
    case.record["marked_root"] = "D"
    assert only(case.told()).startswith("marked_root: D carries no lesion, and root M does")
    assert case.says("c", "none").without_lesion().told() == ()


def test_every_contradiction_is_told_at_once(case):
    told = case.term(terms="new terms").key("axis", "best", ["carved"]).untested("d", "e").told()
    assert [sentence.partition(":")[0] for sentence in told] == ["diagnosis.terms", "chart", "choices.axis.best"]


def test_a_canal_that_no_menu_has_could_not_be_named_by_a_student(case):
    case.record["anatomy"]["tooth"]["canals"][2]["name"] = "Q"
    case.record["preparation"]["Q"] = case.record["preparation"].pop("D")
    said = only(case.told())
    assert said.startswith("anatomy.tooth.canals[2].name: 'Q' is on no menu")
    assert said.endswith("use one of MB, MM, ML, DB, DL, D, M")
