"""The threads that render: few, shared, and made anew in a forked process."""

import subprocess
import sys
import threading
from concurrent.futures import ThreadPoolExecutor
from pathlib import Path

import pytest

from casebank.radiograph import Receptor, take
from casebank.radiograph.threads import RENDER_THREADS, side_by_side
from tests.teeth import lower_molar

ROOT = Path(__file__).parents[3]
FORKED = """
import os, sys
from casebank.radiograph.threads import side_by_side
double = lambda number: 2 * number
assert side_by_side(double, range(5)) == [0, 2, 4, 6, 8]
child = os.fork()
if child == 0:
    os._exit(0 if side_by_side(double, range(5)) == [0, 2, 4, 6, 8] else 1)
sys.exit(os.waitstatus_to_exitcode(os.waitpid(child, 0)[1]))
"""


def rendering():
    return {thread.name for thread in threading.enumerate() if thread.name.startswith("film")}


def test_outcomes_come_in_the_order_of_the_parts():
    assert side_by_side(lambda part: part * part, range(9)) == [part * part for part in range(9)]


def test_one_thread_is_the_callers_own():
    assert set(side_by_side(lambda _: threading.current_thread(), range(3), threads=1)) == {threading.current_thread()}


def test_a_failure_in_a_thread_reaches_the_caller():
    with pytest.raises(ZeroDivisionError):
        side_by_side(lambda part: 1 / part, range(3))


def test_however_many_films_are_asked_for_at_once_the_process_renders_with_a_fixed_few_threads():
    with ThreadPoolExecutor(6) as pool:
        asked = [pool.submit(take, lower_molar(), receptor=Receptor.of_pixels(96, 72), seed=seed) for seed in range(6)]
        assert all(film.result().pixels.any() for film in asked)
    assert 1 <= len(rendering()) <= RENDER_THREADS


def test_a_forked_process_renders_with_threads_of_its_own():
    # a server may render before it forks its workers; threads do not survive that
    outcome = subprocess.run(
        [sys.executable, "-W", "ignore", "-c", FORKED],
        cwd=ROOT,
        timeout=60,
        capture_output=True,
        text=True,
        check=False,
    )
    assert outcome.returncode == 0, outcome.stderr
