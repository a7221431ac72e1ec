"""Whether a case agrees with itself: diagnosis with tests and film, keys with rubric and chart, lesion with root.

A document may be well formed and still teach what its own findings deny. Each rule gives a sentence an author can act
on; where a rule is a teaching choice, its function says so.
"""

import re
from collections.abc import Iterator

from casebank.anatomy import usual_canals
from casebank.anatomy.access import RIGHT
from casebank.casefile.diagnosis_fits import apical_faults, pulpal_faults, shown_by, testing_faults
from casebank.casefile.document import Document
from casebank.casefile.opened import judged
from casebank.casefile.reference import derive
from casebank.rubric import ChoiceRule, Rubric
from casebank.rubric import bundled as bundled_rubric

YEAR = re.compile(r"\b(19|20)\d\d\b")
FDI_NUMBER = re.compile(r"\b[1-4][1-8]\b")
TERM_CRITERIA = {"pulpal": "pulpal-diagnosis", "apical": "apical-diagnosis"}


def inconsistencies(document: Document) -> tuple[str, ...]:
    """One sentence for each contradiction: the field, what is wrong, what to do. Empty for a case that agrees.

    ValueError where no reference follows from the document at all; `derive` says which field keeps it from that.
    """
    rubric, shown = bundled_rubric(document.rubric), shown_by(document)
    return (
        *_terms(document, rubric),
        *pulpal_faults(document.diagnosis.pulpal, shown),
        *apical_faults(document.diagnosis.apical, shown),
        *testing_faults(shown),
        *_findings(document),
        *_canals(document),
        *_keys(document, rubric),
        *_decision(document),
        *_lesion(document),
        *_opening(document),
    )


def _terms(document: Document, rubric: Rubric) -> Iterator[str]:
    """Diagnosis terms are the rubric's own, and carry an edition: the same word has meant other things before."""
    terms = {"pulpal": document.diagnosis.pulpal, "apical": document.diagnosis.apical}
    for field, term in terms.items():
        options = _options(rubric, TERM_CRITERIA[field])
        if options and term not in options:
            yield f"diagnosis.{field}: {term!r} is no term of this rubric: use one of {', '.join(options)}"
    if not YEAR.search(document.diagnosis.terms):
        yield f"diagnosis.terms: {document.diagnosis.terms!r} names no year: name the terms' edition with its year"


def _findings(document: Document) -> Iterator[str]:
    """A finding's words and its test name the same tooth, and a sign is either present or absent."""
    said: dict[str, tuple[str, str]] = {}
    for number, finding in enumerate(document.chart):
        named = FDI_NUMBER.findall(finding.item)
        if finding.test and named and str(finding.test.tooth) not in named:
            yield (
                f"chart[{number}].test.tooth: {finding.test.tooth}, while finding {finding.letter} reads "
                f"{finding.item!r}: make them one tooth"
            )
        for sign, presence in finding.signs.items():
            letter, before = said.setdefault(sign, (finding.letter, presence))
            if presence != before:
                yield (
                    f"chart[{number}].signs: {sign} is {presence} in finding {finding.letter} and {before} in finding "
                    f"{letter}: correct one of them"
                )


def _canals(document: Document) -> Iterator[str]:
    """Every canal can be named by whoever works the case: its name is on the menu of its kind of tooth."""
    menu = usual_canals(document.anatomy.tooth.number)
    for number, canal in enumerate(document.anatomy.tooth.canals):
        if canal.name not in menu:
            yield (
                f"anatomy.tooth.canals[{number}].name: {canal.name!r} is on no menu that a student has for this tooth: "
                f"use one of {', '.join(menu)}"
            )


def _keys(document: Document, rubric: Rubric) -> Iterator[str]:
    """Every option a key names can be picked."""
    letters = [finding.letter for finding in document.chart]
    films = [f"film {number}" for number in range(1, len(document.films) + 1)]
    for name, key in document.choices.items():
        for part, options in (("best", key.best), ("partly", key.partly), ("unsafe", key.unsafe)):
            for option in options:
                if (known := _options(rubric, name)) and option not in known:
                    yield (
                        f"choices.{name}.{part}: {option!r} is no option of this task: use one of {', '.join(known)}"
                    )
                elif not known and option not in (*letters, *films):
                    yield (
                        f"choices.{name}.{part}: {option!r} is no finding of this chart and no film given from the "
                        f"start: use one of {letters[0]} to {letters[-1]} or {', '.join(films)}"
                    )


def _decision(document: Document) -> Iterator[str]:
    """A case that counts as high is not keyed for treatment alone: a teaching choice."""
    key = document.choices.get("decision")
    if key is None or "treat" not in key.best:
        return
    reference = derive(document)
    if reference.judgement.overall.word == reference.criteria.levels[-1]:
        yield (
            f"choices.decision.best: treat is keyed, and the case counts as {reference.judgement.overall.word} "
            f"({reference.judgement.overall.reason.rstrip('.')}): key supervised or refer"
        )


def _lesion(document: Document) -> Iterator[str]:
    """The root that is marked is one that carries the lesion, as the task says."""
    roots = sorted({lesion.root for lesion in document.anatomy.lesions if lesion.site != "furcal"})
    if roots and document.marked_root not in roots:
        yield (
            f"marked_root: {document.marked_root} carries no lesion, and root {' and '.join(roots)} does: "
            "mark the root that carries it"
        )


def _opening(document: Document) -> Iterator[str]:
    """The opening an author sets as the usual one is right by the verdict that students' openings get."""
    if document.opening is None:
        return
    try:
        verdict = judged(document, document.opening.plan())
    except ValueError as trouble:
        yield f"opening.outline_mm: {trouble}"
        return
    if verdict.in_short != RIGHT:
        yield (
            f"opening: by the verdict that students get, this opening is {verdict.in_short}. {' '.join(verdict.costs)} "
            "Redraw it, or take the field out: then it is worked out from the chamber"
        )


def _options(rubric: Rubric, name: str) -> tuple[str, ...]:
    """The options of a choice; none where every case brings its own, or the rubric has no such choice."""
    rules = {criterion.id: criterion.rule for criterion in rubric.criteria}
    rule = rules.get(name)
    return () if not isinstance(rule, ChoiceRule) or rule.options == "case" else tuple(rule.options)
