"""How long the chart of a canal takes to draw: 10 ms at most, both drawings and what they name. The least of many runs
is judged, so load on the machine does not decide."""

import pytest

from assess.presenting.canal_chart import CanalChart, canal_chart
from assess.presenting.chart_depths import depths
from assess.presenting.chart_section import section
from casebank.instruments import replay
from tests.casebank.instruments.canals import molar
from tests.casebank.instruments.sequences import SOUND

MOST_S = 0.010
TOOTH = molar()
MANY = [move for canal, move in SOUND if canal == "MB"] * 3  # about 100 moves in one canal


def drawn(bench, place) -> tuple[CanalChart, str, str]:
    chart = canal_chart(bench, TOOTH, "MB", place, 19.3)
    return chart, section(chart), depths(chart)


@pytest.mark.parametrize("place", [1, 40, None])
def test_a_chart_of_many_moves(benchmark, place):
    bench = replay(TOOTH, [("MB", move) for move in MANY])
    benchmark(drawn, bench, place)
    assert benchmark.stats.stats.min < MOST_S
