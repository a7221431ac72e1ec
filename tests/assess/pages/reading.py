"""What tests of pages share: the pages there are, and what they say."""

import re
from html import unescape

from django.urls import reverse

from assess.log import Stage

STAGES = [stage.value for stage in Stage]
PAGES = [
    *((stage, ()) for stage in STAGES),
    ("mark-own", ()),
    *(("commit", (stage,)) for stage in STAGES[:-1]),
    ("film-picture", (1,)),
    ("film-words", (1,)),
    ("volume", ()),
    ("section-picture", ("axial",)),
    ("canal-chart", ("MB",)),
    ("length-picture", (1,)),
    ("left-picture", (1,)),
]
ACTS = ["ask", "film", "ask-volume", "answer", "level", "move", "self-grade"]
OWN_MARKS = {"met-reason": ["factor", "proof", "limit"]}
PERCENTS = {"look": 80, "weigh": 90, "open": 80, "shape": 85, "fill": 80}
MOVE = {
    "kind": "hand_file",
    "canal": "MB",
    "size": 10,
    "to_mm": 15,
    "strokes": 4,
    "push": "light",
    "precurve_per_mm": 0,
}


def words_of(response):
    """What a page says, without its marks."""
    return " ".join(unescape(re.sub(r"<[^>]+>", " ", response.content.decode())).split())


def get_all(client, attempt):
    """Every page of an attempt that can be asked for."""
    for name, args in PAGES:
        yield name, client.get(reverse(name, args=[attempt.public_id, *args]))
