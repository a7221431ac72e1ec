"""The fold: events in, state out, and nothing out of turn."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from assess.log import (
    Asked,
    Chose,
    Committed,
    FilmTaken,
    Levelled,
    Moved,
    OutOfTurn,
    SelfGraded,
    Stage,
    State,
    VolumeAsked,
    fold,
    step,
)
from casebank.instruments import HandFile

CASE = "leaning-abutment"
BEFORE_COMPARE = (Stage.LOOK, Stage.WEIGH, Stage.OPEN, Stage.SHAPE, Stage.FILL)


def numbered(*events):
    """Events built from (class, fields), numbered from 1 and set in the one case."""
    return [kind(seq=number, case=CASE, **fields) for number, (kind, fields) in enumerate(events, 1)]


def commits(*stages):
    return [(Committed, {"stage": stage}) for stage in stages]


def test_an_empty_log_stands_at_look():
    assert fold([], case=CASE) == State()
    assert fold([], case=CASE).open_stage is Stage.LOOK


def test_state_gathers_what_happened():
    view = {"stage": Stage.LOOK, "horizontal_deg": 20.0, "reason": "to part the mesial canals"}
    state = fold(
        numbered(
            (Asked, {"finding": "c"}),
            (FilmTaken, view),
            (Chose, {"stage": Stage.LOOK, "task": "pulpal-diagnosis", "values": ("normal pulp",)}),
            (Chose, {"stage": Stage.LOOK, "task": "pulpal-diagnosis", "values": ("pulp necrosis",)}),
            *commits(Stage.LOOK),
        ),
        case=CASE,
    )
    assert state.asked == ("c",)
    assert [film.horizontal_deg for film in state.films] == [20.0]
    assert state.answers["pulpal-diagnosis"].values == ("pulp necrosis",), "the last answer before the commit counts"
    assert state.open_stage is Stage.WEIGH


def test_a_volume_is_asked_for_once_and_remembers_how_many_films_came_first():
    film = (FilmTaken, {"stage": Stage.LOOK, "reason": "to part the mesial canals"})
    volume = (VolumeAsked, {"reason": "missed-canal-sought", "hoped": "a second canal"})
    state = fold(numbered(film, volume, film), case=CASE)
    assert (state.volume.reason, state.films_before_volume) == ("missed-canal-sought", 1)
    with pytest.raises(OutOfTurn, match="the volume is asked for once"):
        fold(numbered(volume, volume), case=CASE)
    with pytest.raises(OutOfTurn, match="Look is committed"):
        fold(numbered(*commits(Stage.LOOK), volume), case=CASE)


def test_a_reason_that_is_not_on_offer_is_refused():
    with pytest.raises(ValueError, match="there is no reason curiosity: use one of"):
        VolumeAsked(seq=1, case=CASE, reason="curiosity", hoped="a second canal")


def test_results_may_be_shown_only_once_committed_and_self_graded():
    worked = numbered(*commits(*BEFORE_COMPARE), (SelfGraded, {"percents": {Stage.LOOK: 70}}))
    assert not fold(worked[:-1], case=CASE).is_settled
    assert fold(worked, case=CASE).is_settled


@pytest.mark.parametrize(
    ("events", "sentence"),
    [
        ([Asked(seq=2, case=CASE, finding="a")], r"events\[0\].seq: 2 follows 0, so an event is missing"),
        (
            [Asked(seq=1, case=CASE, finding="a"), Asked(seq=1, case=CASE, finding="b")],
            r"events\[1\].seq: 1 stands twice, 2 was due",
        ),
        ([Asked(seq=1, case="grey-central", finding="a")], r"events\[0\].case: this event is of grey-central"),
        ([Moved(seq=1, case=CASE, canal="MB", move=HandFile(10, 19.8))], "moved belongs to Shape, but Look is open"),
        ([Levelled(seq=1, case=CASE, task="overall", level=3)], "levelled belongs to Weigh, but Look is open"),
        (
            numbered(*commits(Stage.LOOK), (Asked, {"finding": "a"})),
            "Look is committed, so nothing more can happen in it",
        ),
        (numbered(*commits(Stage.WEIGH)), "commit the stages before Weigh first"),
    ],
)
def test_an_event_out_of_turn_is_refused_in_words(events, sentence):
    with pytest.raises(OutOfTurn, match=sentence):
        fold(events, case=CASE)


def test_a_level_that_does_not_exist_is_refused():
    with pytest.raises(ValueError, match=r"level 4 does not exist: give 1 \(low\), 2 \(moderate\) or 3 \(high\)"):
        Levelled(seq=1, case=CASE, task="overall", level=4)


@given(st.lists(st.sampled_from("abcdefghij"), max_size=12), st.integers(0, 12))
def test_folding_in_two_parts_gives_the_same_state(letters, cut):
    # resuming on another device starts from a stored state: it must equal the fold from the beginning
    events = numbered(*[(Asked, {"finding": letter}) for letter in letters])
    state = fold(events[:cut], case=CASE)
    for event in events[cut:]:
        state = step(state, event, case=CASE)
    assert state == fold(events, case=CASE)
