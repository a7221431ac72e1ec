"""The tooth as it was left: films after treatment and with files at the answered lengths, and what they show in words.

For settled attempts only: the words tell lengths and distances that answer tasks.
"""

from dataclasses import dataclass

from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy

from assess.log import Chose, Measured, State
from assess.presenting.films import RECEPTOR
from assess.presenting.naming import tooth_words, view_words
from casebank.anatomy import Tooth
from casebank.casefile import Document
from casebank.casefile.end_state_film import EndState, end_state
from casebank.casefile.fills import CanalFill
from casebank.casefile.in_canal import instrument_rod
from casebank.casefile.length_film import LengthReading, read_length
from casebank.instruments import Bench, Instrument, ReadLength
from casebank.radiograph import Rod, View

STRAIGHT, FROM_MESIAL = View(), View(horizontal_deg=20.0)
LENGTHS_FILM = 3
USUAL_FILE = 15  # in a canal whose length was never read: seen well on a film, common practice, no source
SEALS = {
    "over the orifices": gettext_lazy("The tooth is closed over the orifices."),
    "soft filling": gettext_lazy("A soft filling closes the tooth over an empty chamber."),
    "open": gettext_lazy("Nothing closes the tooth."),
}


@dataclass(frozen=True)
class Exposure:
    """One film: its view, what stands in the tooth, and what it was taken for."""

    view: View
    rods: tuple[Rod, ...]
    purpose: str


@dataclass(frozen=True)
class LeftFilm:
    number: int
    name: str
    description: str
    width: int = RECEPTOR.width_px
    height: int = RECEPTOR.height_px


@dataclass(frozen=True)
class LeftCanal:
    """One canal in sentences: its filling, and its working length on the film."""

    canal: str
    filling: str
    length: str


@dataclass(frozen=True)
class LeftTooth:
    films: tuple[LeftFilm, ...]
    canals: tuple[LeftCanal, ...]
    seal: str
    assumed: str


def exposures(document: Document, state: State, bench: Bench) -> dict[int, Exposure]:
    """The films of the tooth as it was left, by number: two of what was filled, and one with files at the lengths."""
    rods = _left(document, state, bench).rods
    after, files = _("After treatment"), _files(document, state, bench)
    taken = {1: Exposure(STRAIGHT, rods, after), 2: Exposure(FROM_MESIAL, rods, after)}
    if files:
        taken[LENGTHS_FILM] = Exposure(_lengths_view(document.anatomy.tooth), files, _("Files at the working lengths"))
    return taken


def left_tooth(document: Document, state: State, bench: Bench) -> LeftTooth:
    """Everything the Compare page says of the tooth as it was left."""
    left, tooth = _left(document, state, bench), document.anatomy.tooth
    return LeftTooth(
        films=tuple(
            LeftFilm(
                number,
                _("%(purpose)s, %(view)s") % {"purpose": one.purpose, "view": view_words(one.view)},
                _("Synthetic film of the %(tooth)s, %(view)s. What it shows stands in the table below.")
                % {"tooth": tooth_words(tooth.number), "view": view_words(one.view)},
            )
            for number, one in exposures(document, state, bench).items()
        ),
        canals=tuple(
            LeftCanal(
                canal.name, _filling_words(document, left, canal.name), _length_words(document, state, canal.name)
            )
            for canal in tooth.canals
        ),
        seal=str(SEALS[left.seal]) if left.rods else _("Nothing was done in this tooth; the films show it as it came."),
        assumed=_("Where no filling was made at the bench, it is shown as if packed cold, from the side.")
        if left.fills
        else "",
    )


def _left(document: Document, state: State, bench: Bench) -> EndState:
    seal = state.answers.get("seal")
    return end_state(
        document.anatomy, bench, _lengths_mm(document, state), seal.values[0] if isinstance(seal, Chose) else ""
    )


def _lengths_mm(document: Document, state: State) -> dict[str, float]:
    """The working length that was answered, by canal."""
    answers = {canal.name: state.answers.get(f"working-length.{canal.name}") for canal in document.anatomy.tooth.canals}
    return {
        canal: answer.value
        for canal, answer in answers.items()
        if isinstance(answer, Measured) and answer.value is not None
    }


def _shorts_mm(document: Document, state: State) -> dict[str, float]:
    """How far short of its foramen a file at the answered length stands; lengths that no file could show left out."""
    tooth = document.anatomy.tooth
    shorts = {name: tooth.canal(name).total_mm - mm for name, mm in _lengths_mm(document, state).items()}
    return {name: short for name, short in shorts.items() if -5 <= short < tooth.canal(name).length_mm}


def _files(document: Document, state: State, bench: Bench) -> tuple[Rod, ...]:
    """A file in each canal whose length was answered, of the size with which its length was last read."""
    sizes = {step.canal: step.move.size for step in bench.record if isinstance(step.move, ReadLength)}
    return tuple(
        instrument_rod(document.anatomy, name, Instrument(sizes.get(name, USUAL_FILE)), short)
        for name, short in _shorts_mm(document, state).items()
    )


def _lengths_view(tooth: Tooth) -> View:
    """From mesial where two canals of one root would cover each other, else straight."""
    roots = [canal.root for canal in tooth.canals]
    return FROM_MESIAL if len(set(roots)) < len(roots) else STRAIGHT


def _filling_words(document: Document, left: EndState, canal: str) -> str:
    fill = next((fill for fill in left.fills if fill.canal == canal), None)
    said = [_("A piece of an instrument lies in it.")] if canal in left.fragments else []
    if fill is None:
        said.append(_("Shaped, and left empty.") if canal in left.touched else _("Not shaped and not filled."))
        return " ".join(said)
    reading = read_length(document.anatomy, STRAIGHT, canal, fill.short_mm)
    return " ".join([*said, *_end_words(reading), *_gap_words(fill)])


def _end_words(reading: LengthReading) -> list[str]:
    figures = {"apex": f"{reading.to_apex_mm:.1f}", "foramen": f"{abs(reading.short_mm):.1f}"}
    shown = (
        _("On the straight film the filling ends %(apex)s mm beyond the root's end.")
        if reading.past_apex
        else _("On the straight film the filling ends %(apex)s mm short of the root's end.")
    )
    true = (
        _("Along the canal that is %(foramen)s mm beyond the foramen.")
        if reading.past_foramen
        else _("Along the canal that is %(foramen)s mm short of the foramen.")
    )
    return [shown % figures, true % figures]


def _gap_words(fill: CanalFill) -> list[str]:
    said = [
        _("Gap beside it from %(top).1f to %(end).1f mm below the orifice.") % {"top": gap.top_mm, "end": gap.end_mm}
        for gap in fill.gaps
    ] or [_("No gap beside it.")]
    if not fill.tried:
        said.append(
            _("No cone was tried here, so it is shown filled by the last file's label, %(label)s.")
            % {"label": fill.cone.label}
        )
    return said


def _length_words(document: Document, state: State, canal: str) -> str:
    length_mm, short_mm = _lengths_mm(document, state).get(canal), _shorts_mm(document, state).get(canal)
    if length_mm is None:
        return _("No length was given.")
    if short_mm is None:
        return _("%(length).1f mm: no file of that length lies in this canal.") % {"length": length_mm}
    reading = read_length(document.anatomy, _lengths_view(document.anatomy.tooth), canal, short_mm)
    figures = {"length": f"{length_mm:.1f}", "apex": f"{reading.to_apex_mm:.1f}", "foramen": f"{abs(short_mm):.1f}"}
    shown = (
        _("%(length)s mm: the tip shows %(apex)s mm beyond the root's end.")
        if reading.past_apex
        else _("%(length)s mm: the tip shows %(apex)s mm short of the root's end.")
    )
    true = (
        _("Along the canal it is %(foramen)s mm beyond the foramen.")
        if reading.past_foramen
        else _("Along the canal it is %(foramen)s mm short of the foramen.")
    )
    hidden = {
        None: "",
        "receptor": _("The foramen faces the receptor here, so a film cannot show where it is."),
        "tube": _("The foramen faces the tube here, so a film cannot show where it is."),
    }[reading.leaves_towards]
    return " ".join(part for part in (shown % figures, true % figures, hidden) if part)
