"""Whether chart and film bear out the keyed diagnosis, term by term.

The terms are those of the AAE consensus conference of 2008 (J Endod, December 2009), as worded in the AAE's newsletter
of autumn 2013; what each needs is restated here. The pulpal rows and that of normal apical tissues were verified
against a stored copy of the board's list; the other apical rows are from memory. Control teeth and the weight of a
doubtful silence are teaching choices.
"""

from collections.abc import Iterator, Mapping
from dataclasses import dataclass

from casebank.casefile.document import Document
from casebank.casefile.tests_made import ANSWERING, DOUBTFUL, SILENT, ToothTest

AGREE = "agree"
BEGUN = frozenset({"opened", "opened, with a complication"})
FILLED = frozenset({"root filled", "apical surgery", "opened, with a complication"})


@dataclass(frozen=True)
class Shown:
    """What chart and films show of the case's own tooth.

    Attributes
    ----------
    pulp, tenderness : mapping of finding letter to test
        Tests made on the tooth itself; those that could not be done are left out.
    controls : mapping of finding letter to test
        Pulp tests done on other teeth.
    signs : mapping of sign to "present" or "absent"
    lesion : bool
        Whether bone is lost round a root's end, so that a film can show it.
    stated : mapping of fact to word
        What findings state for the difficulty criteria: "earlier" and "label_fit" bear on the diagnosis.
    """

    pulp: Mapping[str, ToothTest]
    tenderness: Mapping[str, ToothTest]
    controls: Mapping[str, ToothTest]
    signs: Mapping[str, str]
    lesion: bool
    stated: Mapping[str, str | int]

    @property
    def sore(self) -> list[str]:
        """Letters of the findings in which the tooth is tender."""
        return [letter for letter, test in self.tenderness.items() if test.response == "tender"]

    def answering(self, *responses: str) -> list[str]:
        """Letters of the tooth's own pulp tests with one of these responses."""
        return [letter for letter, test in self.pulp.items() if test.response in responses]


def shown_by(document: Document) -> Shown:
    """Gather a case's tests, signs and facts."""
    own = document.anatomy.tooth.number
    done = {finding.letter: finding.test for finding in document.chart if finding.test and finding.test.done}
    return Shown(
        pulp={letter: test for letter, test in done.items() if test.of_the_pulp and test.tooth == own},
        tenderness={letter: test for letter, test in done.items() if test.of_tenderness and test.tooth == own},
        controls={letter: test for letter, test in done.items() if test.of_the_pulp and test.tooth != own},
        signs={sign: presence for finding in document.chart for sign, presence in finding.signs.items()},
        lesion=any(lesion.site != "furcal" for lesion in document.anatomy.lesions),
        stated={fact: value for finding in document.chart for fact, value in finding.states.items()},
    )


@dataclass(frozen=True)
class Responses:
    """What a pulpal term asks of the tooth's own tests: one response at least, and some that none may show."""

    asks: frozenset[str]
    excludes: frozenset[str]
    painless: bool = True
    """Whether spontaneous pain speaks against the term."""


PULPAL: Mapping[str, Responses] = {
    "normal pulp": Responses(frozenset({"normal"}), frozenset({"heightened", "lingering"})),
    "reversible pulpitis": Responses(frozenset({"heightened"}), frozenset({"lingering"})),
    "symptomatic irreversible pulpitis": Responses(frozenset({"lingering"}), frozenset(), painless=False),
    "asymptomatic irreversible pulpitis": Responses(frozenset({"normal", "heightened"}), frozenset({"lingering"})),
    "pulp necrosis": Responses(frozenset({SILENT}), ANSWERING, painless=False),
}


def pulpal_faults(term: str, shown: Shown) -> Iterator[str]:
    """One sentence for each way in which the tests do not bear out the pulpal term."""
    yield from _earlier_faults(term, shown)
    if term not in PULPAL:
        return
    wanted = PULPAL[term]
    for letter in shown.answering(*wanted.excludes):
        test = shown.pulp[letter]
        yield (
            f"diagnosis.pulpal: finding {letter} ({test.kind} on {test.tooth}: {test.response}) speaks against {term}: "
            "correct the response, or key another term"
        )
    if not (shown.answering(*wanted.asks) or _borne_out_otherwise(term, shown)):
        yield (
            f"diagnosis.pulpal: no pulp test of the tooth itself shows what {term} needs "
            f"({' or '.join(sorted(wanted.asks))}): record the response in a finding's test, or key another term"
        )
    if wanted.painless and shown.signs.get("spontaneous pain") == "present":
        yield f"diagnosis.pulpal: spontaneous pain is present, which {term} does not have: correct one of the two"


def _borne_out_otherwise(term: str, shown: Shown) -> bool:
    """A doubtful silence beside lost bone speaks for necrosis, spontaneous pain of a living pulp for irreversible."""
    if term == "pulp necrosis":
        return shown.lesion and bool(shown.answering(DOUBTFUL))
    if term == "symptomatic irreversible pulpitis":
        return shown.signs.get("spontaneous pain") == "present" and bool(shown.answering(*ANSWERING))
    return False


def _earlier_faults(term: str, shown: Shown) -> Iterator[str]:
    earlier = shown.stated.get("earlier")
    needed = {"previously treated": FILLED, "previously initiated therapy": BEGUN}.get(term)
    if needed and earlier not in needed:
        yield (
            f"diagnosis.pulpal: {term} needs a finding that states earlier as one of {', '.join(sorted(needed))}, "
            f"not {earlier or 'nothing'}: state it, or key another term"
        )
    if not needed and earlier not in {None, "none"}:
        yield (
            f"diagnosis.pulpal: a finding states earlier as {earlier}, so {term} no longer describes the pulp: "
            "key what was done before, or correct the fact"
        )


def apical_faults(term: str, shown: Shown) -> Iterator[str]:
    """One sentence for each way in which tests, signs and film do not bear out the apical term.

    Condensing osteitis is not judged: tenderness varies, and the anatomy has no way to describe denser bone.
    """
    if term == "condensing osteitis":
        return
    if term == "symptomatic apical periodontitis" and not shown.sore:
        yield (
            f"diagnosis.apical: {term} needs the tooth itself to be tender to percussion, palpation or bite: "
            "record it in a finding's test, or key another term"
        )
    if term == "asymptomatic apical periodontitis" and not shown.lesion:
        yield f"diagnosis.apical: {term} needs bone lost round a root's end: add a lesion, or key another term"
    if term == "normal apical tissues" and shown.lesion:
        yield f"diagnosis.apical: the anatomy has a lesion, which {term} do not: remove it, or key another term"
    yield from _calm_faults(term, shown)
    yield from _sign_faults(term, shown)


def _calm_faults(term: str, shown: Shown) -> Iterator[str]:
    """Terms without tenderness. A tenderness from elsewhere is taken, if the chart says that findings do not agree."""
    mimic = term == "normal apical tissues" and shown.stated.get("label_fit", AGREE) != AGREE
    if term not in {"normal apical tissues", "asymptomatic apical periodontitis"} or mimic:
        return
    for letter in shown.sore:
        test = shown.tenderness[letter]
        yield (
            f"diagnosis.apical: finding {letter} ({test.kind} on {test.tooth}: tender) speaks against {term}: "
            "correct the response, or key another term"
        )


SIGN_OF = {"chronic apical abscess": "sinus tract", "acute apical abscess": "swelling"}


def _sign_faults(term: str, shown: Shown) -> Iterator[str]:
    needed = SIGN_OF.get(term)
    if needed and shown.signs.get(needed) != "present":
        yield f"diagnosis.apical: {term} needs the sign {needed}: let a finding name it as present, or key another term"
    if needed:
        return
    for sign in SIGN_OF.values():
        if shown.signs.get(sign) == "present":
            yield (
                f"diagnosis.apical: the sign {sign} is present, which makes an abscess, not {term}: "
                "correct one of the two"
            )


def testing_faults(shown: Shown) -> Iterator[str]:
    """A tooth is tested beside a control, and tests that contradict each other are not called agreeing."""
    if shown.pulp and not shown.controls:
        yield (
            f"chart: finding {min(shown.pulp)} tests the pulp and no other tooth is tested beside it: "
            "add a control tooth"
        )
    silent, answers = shown.answering(SILENT), shown.answering(*ANSWERING)
    if silent and answers and shown.stated.get("label_fit") == AGREE:
        yield (
            f"chart: label_fit is stated as {AGREE}, yet finding {silent[0]} is silent and finding {answers[0]} "
            "answers: state how far they agree, or correct a response"
        )
