"""How long a film takes, warm, on two threads, and how much memory: rays, exposure and file.

Aims on two free cores: 150 ms for 725 by 550 pixels, 450 ms for 1450 by 1100, 10 ms for a film on disk. The benchmark
prints the time on the wall; what is judged is the processor time of the best of many runs, so that load on the machine
does not decide. Memory is the most a process of its own holds while it takes a film, over what it held before.
"""

import subprocess
import sys
import time
from pathlib import Path

import pytest

from casebank.films import film_png
from casebank.radiograph import Receptor, View, take
from casebank.radiograph.pieces import pieces_of
from tests.teeth import lower_molar

ROOT = Path(__file__).parents[2]
THREADS = 2
IN_ITS_OWN_PROCESS = """
import re, sys
from pathlib import Path
from casebank.radiograph import Receptor, take
from tests.teeth import lower_molar
status, fields = Path("/proc/self/status"), ("VmRSS", "VmHWM")
anatomy, size = lower_molar(), [int(word) for word in sys.argv[1:]]
take(anatomy, receptor=Receptor.of_pixels(100, 80))
Path("/proc/self/clear_refs").write_text("5")  # the most held so far counts from now on
before = status.read_text()
take(anatomy, receptor=Receptor.of_pixels(*size)).png()
after = status.read_text()
print(*(re.search(f"{field}:\\s+(\\d+) kB", text)[1] for field, text in zip(fields, (before, after))))
"""


@pytest.mark.parametrize(("width", "height", "aim_s"), [(725, 550, 0.15), (1450, 1100, 0.45)])
def test_a_film_is_ready_before_the_reader_notices(benchmark, width, height, aim_s):
    anatomy, receptor = lower_molar(), Receptor.of_pixels(width, height)
    assert len(pieces_of(anatomy)) > 600
    assert (
        best_processor_s(benchmark, lambda: take(anatomy, receptor=receptor, threads=THREADS).png()) <= THREADS * aim_s
    )


def test_a_preview_takes_less_than_half_of_what_its_film_takes(benchmark):
    anatomy = lower_molar()
    assert best_processor_s(benchmark, lambda: take(anatomy, preview=True).png()) <= THREADS * 0.45 / 2


def test_a_film_on_disk_is_read_at_once(benchmark, settings, tmp_path):
    settings.DATA_DIR = tmp_path
    anatomy = lower_molar()
    assert best_processor_s(benchmark, lambda: film_png(anatomy, View(), Receptor())) <= 0.01


@pytest.mark.parametrize(("width", "height", "aim_mb"), [(725, 550, 150), (1450, 1100, 400)])
def test_a_film_leaves_room_for_others(width, height, aim_mb):
    words = [sys.executable, "-c", IN_ITS_OWN_PROCESS, str(width), str(height)]
    outcome = subprocess.run(words, cwd=ROOT, capture_output=True, text=True, check=True)
    before_kb, most_kb = (int(word) for word in outcome.stdout.split())
    print(f"{width} by {height}: {before_kb / 1024:.0f} MB warm, {most_kb / 1024:.0f} MB at most")
    assert (most_kb - before_kb) / 1024 <= aim_mb


def best_processor_s(benchmark, film):
    """The least processor time of many runs of a film's making, which the benchmark times on the wall."""
    worked_s = []

    def timed():
        start = time.process_time()
        written = film()
        worked_s.append(time.process_time() - start)
        return written

    assert benchmark.pedantic(timed, rounds=10, warmup_rounds=2).startswith(b"\x89PNG")
    benchmark.extra_info["processor_ms"] = [round(1000 * value) for value in sorted(worked_s)]
    return min(worked_s)
