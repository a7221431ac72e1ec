"""A log file: read, or refused in one sentence that names file and field."""

import json

import pytest

from assess.log import read_log
from casebank.casefile import FileRefused

CASE = "leaning-abutment"


@pytest.fixture
def saved(tmp_path):
    def save(content):
        path = tmp_path / "try.json"
        path.write_text(content if isinstance(content, str) else json.dumps(content), encoding="utf-8")
        return path

    return save


def log_of(*events, **changes):
    return {"log_version": 1, "case": CASE, "events": list(events)} | changes


def test_a_log_is_read(saved):
    log = read_log(saved(log_of({"seq": 1, "case": CASE, "event": "asked", "finding": "c"})), case=CASE)
    assert log.state().asked == ("c",)


@pytest.mark.parametrize(
    ("content", "sentence"),
    [
        ("not json", r"try.json, line 1: not valid JSON"),
        ("[1]", "try.json: the file must hold one JSON object"),
        ('{"log_version": 1, "log_version": 1}', "try.json: the key 'log_version' stands twice"),
        ('{"log_version": 1, "case": NaN}', "try.json: NaN is not a number a file may hold"),
        (log_of(log_version=9), "try.json, log_version: 9 is not the version this program reads"),
        (log_of(case="grey-central"), "try.json, case: this log is of grey-central, the case file is leaning-abutment"),
        (log_of({"seq": 1, "case": CASE, "event": "dreamt"}), r"try.json, events\[0\]: "),
        (
            log_of({"seq": 1, "case": CASE, "event": "asked", "finding": "c", "at": 3}),
            r"events\[0\].at: this key is not known",
        ),
        (
            log_of({"seq": 1, "case": CASE, "event": "levelled", "task": "overall", "level": 4}),
            r"events\[0\].level: level 4 does not exist",
        ),
        (log_of({"seq": 2, "case": CASE, "event": "asked", "finding": "c"}), r"try.json, events\[0\].seq: 2 follows 0"),
        (
            log_of(
                {
                    "seq": 1,
                    "case": CASE,
                    "event": "moved",
                    "canal": "MB",
                    "move": {"kind": "hand_file", "size": 11, "to_mm": 19.0},
                }
            ),
            r"try.json, events\[0\].move: there is no size 11",
        ),
    ],
)
def test_a_broken_log_is_refused_in_one_sentence(saved, content, sentence):
    with pytest.raises(FileRefused, match=sentence) as refusal:
        read_log(saved(content), case=CASE)
    assert "\n" not in str(refusal.value)


def test_a_missing_file_is_refused(tmp_path):
    with pytest.raises(FileRefused, match=r"gone.json: cannot be read .*: check the path"):
        read_log(tmp_path / "gone.json", case=CASE)
