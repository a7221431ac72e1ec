"""How long a film takes, warm, on two threads: rays, exposure and file.

Aims on two free cores: 250 ms for 725 by 550 pixels, 800 ms for 1450 by 1100. The benchmark prints the time on the
wall; what is judged is the processor time of the best of many runs, so that load on the machine does not decide.
"""

import time

import pytest

from casebank.radiograph import Receptor, take
from tests.teeth import lower_molar

THREADS = 2


@pytest.mark.parametrize(("width", "height", "aim_s"), [(725, 550, 0.25), (1450, 1100, 0.8)])
def test_a_film_is_ready_before_the_reader_notices(benchmark, width, height, aim_s):
    anatomy, receptor = lower_molar(), Receptor.of_pixels(width, height)
    worked_s = []

    def film() -> bytes:
        start = time.process_time()
        written = take(anatomy, receptor=receptor, threads=THREADS).png()
        worked_s.append(time.process_time() - start)
        return written

    take(anatomy, receptor=Receptor.of_pixels(100, 80))  # compiled, pattern made
    assert benchmark.pedantic(film, rounds=8, warmup_rounds=1).startswith(b"\x89PNG")
    assert min(worked_s) <= THREADS * aim_s
