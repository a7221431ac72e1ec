"""Nothing early: until a case is committed and self-graded, no response carries anything of its key.

Three proofs. Words planted in a case document are looked for in everything a student can be sent. A twin case, equal in
all that a student may know and different in every key, must send the very same: that covers what no word can mark, such
as which option of a menu is keyed. And only named modules can look at a reference at all.
"""

import ast
import json
import re
from copy import deepcopy
from io import BytesIO
from pathlib import Path
from unittest.mock import patch
from uuid import UUID

import pytest
from django.db import transaction
from django.test import Client, override_settings
from PIL import Image, PngImagePlugin

from assess.grading.grade import GRADED_STAGES
from casebank.casefile import derive, parse_document
from casebank.models import Role
from casebank.radiograph import Receptor
from casebank.rubric import (
    BenchReference,
    ChoiceRule,
    MarkReference,
    MeasureReference,
    OrderRule,
    WrittenReference,
    WrittenRule,
    bundled,
    order_in_words,
)
from tests.factories import LEANING_ABUTMENT, NOON, AttemptFactory, EditionFactory, member
from tests.walking import LOOK, Walk, words_of_png

pytestmark = pytest.mark.django_db

CANARY = re.compile(r"canary-[a-z0-9-]+|CanaryCanal")
ASKED = {body["finding"] for name, body in LOOK if name == "ask"}
CHOSEN_UNSAFE = {"decision-treat", "rubber-dam-none", "axis-crown", "final-rinse-hypochlorite-chlorhexidine"}
ON_DISK = patch("assess.views.desk.film_is_kept", return_value=True)  # no walk differs by what was rendered before it
CANALS_ARE_UNKNOWN = ("before the first act", "in look", "after look", "in weigh", "after weigh")
SHOWS_THE_TOOTH = "/films/|/sections/|/volume/|/chart/"
CHANGES = (  # between two walks: secrets of the session and what was drawn for one page
    (re.compile(r"\b[A-Za-z0-9]{64}\b"), "token"),
    (re.compile(r"Expires: .*"), "expiry"),
    (re.compile(r"csrftoken=[A-Za-z0-9]+; expires=[^;]+"), "cookie"),
    (re.compile(r"\b[0-9a-f]{16}\b"), "key"),
)


def planted():
    """The leaning abutment with a word of its own in everything that is not the student's to know."""
    case = json.loads(LEANING_ABUTMENT.read_text(encoding="utf-8"))
    for name, choice in case["choices"].items():
        choice["because"] = f"Reason canary-because-{name}."
        choice["unsafe"] = {option: f"Harm canary-unsafe-{name}-{option}." for option in choice.get("unsafe", {})}
    for finding in case["chart"]:
        if finding["when"] == "asked":
            finding["result"] += f" canary-result-{finding['letter']}"
    case["diagnosis"]["terms"] = "canary-terms"
    case["competencies"] = ["open-apex"]  # of the framework, and none that this case's pages speak of
    case["misconceptions"] = ["m93"]
    rename_root(case, "M", "canary-root")
    rename_canal(case, "D", "CanaryCanal")
    return case


def rename_root(case, old, new):
    tooth = case["anatomy"]["tooth"]
    for part, field in ((tooth["roots"], "name"), (tooth["canals"], "root"), (case["anatomy"]["lesions"], "root")):
        for one in part:
            one[field] = new if one[field] == old else one[field]
    case["marked_root"] = new if case["marked_root"] == old else case["marked_root"]


def rename_canal(case, old, new):
    for canal in case["anatomy"]["tooth"]["canals"]:
        canal["name"] = new if canal["name"] == old else canal["name"]
    case["preparation"][new] = case["preparation"].pop(old)


def with_another_key(case):
    """The same tooth, patient and chart, with every judgement of the author turned round."""
    twin, rubric = deepcopy(case), bundled(case["rubric"])
    twin["diagnosis"] = {"pulpal": "reversible pulpitis", "apical": "chronic apical abscess", "terms": "other terms"}
    for name, choice in case["choices"].items():
        rule = rubric.criterion(name).rule
        assert isinstance(rule, ChoiceRule)
        options = ["e", "f", "k"] if rule.options == "case" else list(rule.options)
        other = next(option for option in reversed(options) if option not in choice["best"])
        twin["choices"][name] = {"best": [other], "because": f"Another reason for {name}."}
    twin["preparation"] = {canal: {"size": 25, "taper": 0.06} for canal in case["preparation"]}
    twin |= {"marked_root": "D", "misconceptions": [], "competencies": ["perio-endo"], "further_films_deg": []}
    states = {
        "asa_class": 3,
        "opening": "greatly limited",
        "label_fit": "several causes to weigh",
        "isolation": "after a simple build-up",
        "trauma": "subluxation",
        "earlier": "opened",
    }
    for finding in twin["chart"]:
        finding["states"] = {fact: states.get(fact, value) for fact, value in finding.get("states", {}).items()}
        finding.pop("shows", None)
    return twin


def with_another_canal(case):
    """The same case in a tooth whose distal root holds two canals."""
    twin = deepcopy(case)
    canals = twin["anatomy"]["tooth"]["canals"]
    distal = next(canal for canal in canals if canal["root"] == "D")
    second = deepcopy(distal) | {"name": "DL"}
    distal["orifice_mm"], second["orifice_mm"] = [2.5, -0.9], [2.5, 0.9]
    for canal in (distal, second):
        canal["orifice"] = {"narrow_mm": 0.6, "wide_mm": 0.7}
    canals.append(second)
    twin["preparation"]["DL"] = {"size": 35, "taper": 0.04}
    return twin


def walked(case, until=None):
    """A student's way through a case that is published for it, up to the end or to a stage; the store is left empty."""
    with transaction.atomic():
        # As a row: with words planted in it and its key turned round, no case agrees with itself any more.
        edition = EditionFactory(content=json.dumps(case), title=case["title"])
        student = member(Role.STUDENT, username="walker")
        attempt = AttemptFactory(edition=edition, student=student, public_id=UUID(int=7), started_at=NOON)
        walk = Walk(Client(raise_request_exception=False), attempt)
        walk.client.force_login(student)
        walk.look_round()
        for stage in GRADED_STAGES:
            if stage == until:
                break
            walk.work(stage)
        else:
            walk.when = "before the estimate"
            walk.look_round()
            walk.settle()
        transaction.set_rollback(True)
    return walk.seen


@pytest.fixture(scope="module")
def unblocked(django_db_setup, django_db_blocker, tmp_path_factory):
    with django_db_blocker.unblock(), override_settings(DATA_DIR=tmp_path_factory.mktemp("data")), ON_DISK:
        yield


@pytest.fixture(scope="module")
def seen(unblocked):
    """Everything the student of the planted case was sent."""
    return walked(planted())


@pytest.fixture(scope="module")
def early(seen):
    return [one for one in seen if one.when != "settled"]


def may_be_known(canary, one):
    """Whether a planted word is the student's to know by then: what they asked for, and the canals they work in."""
    if canary.startswith("canary-result-"):
        return canary[-1] in ASKED and one.when != "before the first act"
    return canary == "CanaryCanal" and one.when not in (*CANALS_ARE_UNKNOWN, "in open")


def test_no_planted_word_is_sent_before_it_may_be_known(early):
    assert not {
        (canary, one.when, one.asked)
        for one in early
        for canary in CANARY.findall(one.text)
        if not may_be_known(canary, one)
    }


def test_planted_words_are_found_once_they_may_be_known(seen):
    found = {canary for one in seen if one.when == "settled" for canary in CANARY.findall(one.text)}
    reasons = {f"canary-because-{name}" for name in planted()["choices"]}
    harms = {f"canary-unsafe-{where}" for where in CHOSEN_UNSAFE}
    assert reasons | harms | {"canary-terms", "canary-root", "CanaryCanal"} <= found
    assert {f"canary-result-{letter}" for letter in ASKED} <= {
        canary for one in seen if one.when == "in look" for canary in CANARY.findall(one.text)
    }


def test_no_sentence_of_the_reference_is_sent_early(seen, early):
    said = "\n".join(one.text for one in early)
    settled = "\n".join(one.text for one in seen if one.when == "settled")
    sentences = reference_sentences()
    assert not {sentence for sentence in sentences if sentence in said}
    assert sum(sentence in settled for sentence in sentences) > len(sentences) / 2


def reference_sentences():
    """What the reference says in words: working, harm, expectation at the bench, and the rubric's reasons."""
    reference = derive(parse_document(json.dumps(planted()).encode(), name="planted"))
    asks = {criterion.ask for criterion in reference.rubric.criteria}
    sentences = {reason for one in reference.rubric.criteria for reason in (one.reasons.because, one.reasons.next_act)}
    for answer in reference.answers.values():
        sentences |= {*answer.working, *answer.unsafe.values()}
        if isinstance(answer.value, BenchReference):
            sentences.add(answer.value.expected)
        if isinstance(answer.value, WrittenReference):
            sentences.add(answer.value.model)
    for criterion in reference.rubric.criteria:
        if isinstance(criterion.rule, OrderRule):
            sentences |= {*criterion.rule.unsafe_first.values(), order_in_words(criterion.rule, criterion.key)}
    return sentences - asks


def test_what_is_looked_for_in_a_reason_is_told_only_once_it_is_marked(seen):
    rules = [one.rule for one in bundled(planted()["rubric"]).criteria if isinstance(one.rule, WrittenRule)]
    lines = {line.counts for rule in rules for line in rule.lines}
    told = {one.when for one in seen if any(line in one.text for line in lines)}
    assert told == {"before the marks", "settled"}
    own = f"GET /attempts/{UUID(int=7)}/mark-own/"
    marking = [one for one in seen if one.when == "before the marks" and one.asked == own]
    assert {one.status for one in marking} == {200}
    assert all(line in marking[0].text for line in lines)


def test_no_number_of_the_reference_is_sent_early(seen, early):
    any_of_them = "|".join(re.escape(number) for number in reference_numbers())
    pattern = re.compile(rf"(?<![\d.])(?:{any_of_them})(?!\d)")
    assert not {(number, one.when, one.asked) for one in early for number in pattern.findall(without_lines(one.text))}
    settled = {number for one in seen if one.when == "settled" for number in pattern.findall(one.text)}
    assert {"19.3", "19.1", "18.8", "18.0", "8.3"} <= settled


def without_lines(text):
    """A page without the points of the crown's drawing: hundreds of numbers, some of which are a reference's by chance.

    That the drawing holds nothing of what lies within is tested where it is made.
    """
    placed = re.compile(r' (?:d|x|y)="[^"]*"')
    return re.sub(r'<svg [^>]*class="tooth-map".*?</svg>', lambda found: placed.sub("", found[0]), text, flags=re.S)


def reference_numbers():
    """Lengths, angles and places of the reference, as a page or a script would write them; counts are no such marks."""
    reference = derive(parse_document(json.dumps(planted()).encode(), name="planted"))
    values, receptor = set(), Receptor()
    for task, answer in reference.answers.items():
        for value in (answer.value, *answer.by_film.values()):
            if isinstance(value, MeasureReference) and task != "canal-count":
                values.add(value.value)
            if isinstance(value, MarkReference):
                for x, y in value.points_mm:
                    values |= {
                        x / receptor.pitch_mm + receptor.width_px / 2,
                        y / receptor.pitch_mm + receptor.height_px / 2,
                    }
                    values |= {
                        x + receptor.width_px * receptor.pitch_mm / 2,
                        y + receptor.height_px * receptor.pitch_mm / 2,
                    }
    return {written for value in values for written in (f"{value:.1f}", f"{value:.2f}", repr(float(value)))}


def test_names_of_facts_and_of_misconceptions_are_never_sent(seen):
    facts = {
        fact for one in planted()["chart"] for fact in (*one.get("states", {}), *one.get("shows", ())) if "_" in fact
    }
    assert len(facts) > 5
    said = "\n".join(one.text for one in seen)
    assert not {name for name in (*facts, "m93", "open-apex") if re.search(rf"\b{name}\b", said)}


def test_a_film_carries_no_words_but_its_own(early):
    films = [one for one in early if "Content-Type: image/png" in one.text and one.status == 200]
    assert len(films) > 10
    for film in films:
        words = film.text.partition("IHDR")[2]
        said = (
            ["Title", "Warning", "Section"] if "/sections/" in film.asked else ["Title", "Warning", "View", "Software"]
        )
        assert re.findall(r"(?:tEXt|zTXt|iTXt) (\w+)", words) == said
        assert words.split("IEND")[1].strip() == ""
        assert not re.search(r"Content-Disposition|Last-Modified|X-Accel|X-Sendfile", film.text)
        assert "Cache-Control: private" in film.text


def test_words_packed_into_a_picture_would_be_noticed():
    words = PngImagePlugin.PngInfo()
    words.add_text("Plain", "canary-plain")
    words.add_text("Packed", "canary-packed", zip=True)
    words.add_itxt("Foreign", "canary-foreign", zip=True)
    content = BytesIO()
    Image.new("L", (2, 2)).save(content, "PNG", pnginfo=words)
    found = CANARY.findall("\n".join(words_of_png(content.getvalue() + b"canary-behind")))
    assert found == ["canary-plain", "canary-packed", "canary-foreign", "canary-behind"]


def test_a_twin_with_another_key_sends_the_very_same(unblocked, seen, early):
    case = planted()
    first, twin = derive(as_document(case)), derive(as_document(with_another_key(case)))
    keyed = [task for task, answer in first.answers.items() if not isinstance(answer.value, BenchReference)]
    differing = {task.partition(".")[0] for task in keyed if first.answers[task].value != twin.answers[task].value}
    assert {"pulpal-diagnosis", "proof", "decision", "axis", "seal", "difficulty-levels", "apex-mark"} <= differing
    sent = walked(with_another_key(case))
    assert_same(early, [one for one in sent if one.when != "settled"])
    compare = [next(one for one in walk if one.when == "settled") for walk in (seen, sent)]
    assert lasting_text(compare[0]) != lasting_text(compare[1])


def test_a_twin_with_another_canal_sends_the_same_until_canals_are_known(unblocked, early):
    """Everything but films and sections, which do show the tooth, and the addresses that name its canals."""
    twin = walked(with_another_canal(planted()), until="open")
    pages = [
        [one for one in sent if one.when in CANALS_ARE_UNKNOWN and not re.search(SHOWS_THE_TOOTH, one.asked)]
        for sent in (early, twin)
    ]
    assert {one.when for one in pages[0]} >= {"before the first act", "in look", "in weigh"}
    assert_same(*pages)


READS_REFERENCES = {"Reference", "ReferenceAnswer", "derive", "read_case", "reference_record"}
PAGES = Path(__file__).parent.parent / "assess"


def imported_by(path):
    """Every name that a module imports, with the last part of each module it imports from."""
    names = set()
    for node in ast.walk(ast.parse(path.read_text(encoding="utf-8"))):
        if isinstance(node, ast.ImportFrom):
            names |= {(node.module or "").rpartition(".")[2], *(alias.name for alias in node.names)}
        if isinstance(node, ast.Import):
            names |= {alias.name.rpartition(".")[2] for alias in node.names}
    return names


def who_imports(names, *rooms):
    """The modules of some rooms that import one of the names."""
    modules = [path for room in rooms for path in (PAGES / room).glob("*.py")]
    assert modules
    return {path.stem for path in modules if imported_by(path) & names}


def test_only_three_modules_of_the_pages_can_look_at_a_reference():
    readers = who_imports(READS_REFERENCES, "presenting", "views", "forms", "actions")
    assert readers == {"comparing", "overlaying", "keying"}


def test_the_key_is_called_by_views_of_those_who_teach_alone_and_comparing_by_the_stages():
    rooms = ("presenting", "views", "forms", "actions")
    assert who_imports({"keying"}, *rooms) == {"keys"}
    assert who_imports({"compare_sets"}, *rooms) == {"criteria_table"}
    assert who_imports({"comparing"}, *rooms) == {"stages"}
    assert who_imports({"overlaying"}, *rooms) == {"comparing"}


def as_document(case):
    return parse_document(json.dumps(case).encode(), name="case")


def assert_same(first, second):
    assert [one.asked for one in first] == [one.asked for one in second]
    assert len(first) > 100
    pairs = zip(first, second, strict=True)
    assert not [(one.when, one.asked) for one, other in pairs if lasting_text(one) != lasting_text(other)]


def lasting_text(one):
    """The text without what is drawn anew for every page."""
    text = one.text
    for pattern, word in CHANGES:
        text = pattern.sub(word, text)
    return text


def test_results_are_refused_by_address_in_every_state_but_the_settled(seen, early):
    own = f"/attempts/{UUID(int=7)}"
    begun = {"before the first act", *(f"in {stage}" for stage in GRADED_STAGES)}
    unsettled = {*begun, "before the estimate", "before the marks"}
    charts = [one for one in early if one.asked.startswith(f"GET {own}/chart/")]
    assert {(one.when, one.status) for one in charts} == {(when, 409) for when in unsettled}
    left = [one for one in early if one.asked.startswith(f"GET {own}/left/")]
    assert {(one.when, one.status) for one in left} == {(when, 409) for when in unsettled}
    compare = {(one.when, one.status) for one in early if one.asked == f"GET {own}/compare/"}
    shown = {"before the estimate": 200, "before the marks": 302}  # the estimate is asked for, then the marks
    assert compare == {(when, shown.get(when, 409)) for when in unsettled}
    estimates = {
        (one.when, one.status) for one in early if one.asked.startswith(f"POST {own}/self-grade/ {{'look': '101'}}")
    }
    assert estimates == {(when, 409 if when in begun else 400) for when in unsettled}
    marks = {(one.when, one.status) for one in early if one.asked.startswith(f"POST {own}/mark-own/")}
    assert marks == {
        *((when, 409) for when in {*begun, "before the estimate"}),
        *(("before the marks", status) for status in (400, 303)),
    }
    assert {one.status for one in seen if one.when == "settled"} == {200}
