"""One student's whole way through a case by its pages, with every response kept as text that can be searched."""

import html
import json
import re
import struct
import zlib
from dataclasses import dataclass, field
from itertools import product

from django.test import Client
from django.urls import reverse

from assess.grading.fits import tasks_of
from assess.grading.grade import GRADED_STAGES
from assess.models import Attempt
from tests.addresses import addresses

NOT_MINE = "00000000-0000-4000-8000-000000000000"
LINK = re.compile(r'(?:href|src|action)="([^"]+)"')
LONELY = ("/sign-out/",)  # not visited by the way: it might end the walk

LOOK = (
    *(("ask", {"finding": letter}) for letter in "cdej"),
    ("film", {"tube": "distal-20", "reason": "to see the other side"}),
    ("ask-volume", {"reason": "every-tooth-first", "hoped": "to see what is there"}),
    ("answer", {"task": "pulpal-diagnosis", "values": "normal pulp", "confidence": "unsure"}),
    ("answer", {"task": "apical-diagnosis", "values": "acute apical abscess", "confidence": "unsure"}),
    ("answer", {"task": "proof", "values": ["c", "e"], "confidence": "sure"}),
    ("answer", {"task": "further-view", "values": "same-again", "confidence": "unsure"}),
    ("answer", {"task": "canal-count", "cannot_tell": "yes", "confidence": "sure"}),
    ("answer", {"task": "canal-count", "value": "2", "confidence": "unsure"}),
    (
        "answer",
        {
            "task": "curvature",
            "value": "12.6",
            "of": "MB",
            "film": "1",
            "points_px": "300.5,400.5;310.5,500.5;330.5,600.5",
        },
    ),
    ("answer", {"task": "apex-mark", "film": "1", "x1": "11.7", "y1": "13.9"}),
)
WEIGH = (
    ("level", {"task": "difficulty-levels.health", "level": "2", "evidence": ["a"], "confidence": "sure"}),
    ("level", {"task": "difficulty-levels.canal-form", "level": "1", "evidence": ["film 1"], "confidence": "sure"}),
    ("level", {"task": "overall", "level": "1", "confidence": "sure"}),
    ("answer", {"task": "decision", "values": "treat", "confidence": "sure"}),
    ("answer", {"task": "reason", "text": "It looked straight\r\nto me."}),
    (
        "answer",
        {
            "task": "full-day",
            "place-tablets-away": "1",
            "place-ring": "2",
            "place-drain": "3",
            "place-find-tooth": "4",
            "place-supervisor": "5",
            "place-danger-signs": "6",
            "confidence": "sure",
        },
    ),
)
OPEN = (
    ("answer", {"task": "restorability", "values": "not-restorable"}),
    ("answer", {"task": "consent", "values": "reassure"}),
    ("answer", {"task": "anaesthesia", "values": "none"}),
    ("answer", {"task": "rubber-dam", "values": "none"}),
    ("answer", {"task": "prosthesis", "values": "absent"}),
    ("answer", {"task": "axis", "values": "crown"}),
    ("answer", {"task": "chamber-depth", "value": "6.2"}),
    (
        "answer",
        {
            "task": "step-order",
            "place-unroof": "1",
            "place-decay": "2",
            "place-dam": "3",
            "place-test-numb": "4",
            "place-numb": "5",
            "place-count": "6",
        },
    ),
)
SHAPE = (
    (
        "move",
        {"kind": "irrigate", "canal": "MB", "solution": "water", "ml": "1.5", "needle_mm": "0.31", "depth_mm": "9.7"},
    ),
    (
        "move",
        {
            "kind": "hand_file",
            "canal": "MB",
            "size": "10",
            "to_mm": "13.7",
            "strokes": "3",
            "push": "light",
            "precurve_per_mm": "0",
        },
    ),
    ("move", {"kind": "gauge", "canal": "MB", "size": "60", "to_mm": "11.7"}),
    ("move", {"kind": "read_electronically", "canal": "MB", "size": "10"}),
    ("move", {"kind": "film_length", "canal": "MB", "size": "10", "to_mm": "13.7"}),
    ("answer", {"task": "working-length.MB", "value": "15.7"}),
)
FILL = (
    ("move", {"kind": "fit_cone", "canal": "MB", "size": "60", "taper": "0.02", "to_mm": "11.9", "stage": "fill"}),
    ("move", {"kind": "dry", "canal": "MB", "stage": "fill"}),
    ("move", {"kind": "seal_canal", "canal": "MB", "to_mm": "11.9", "stage": "fill"}),
    ("answer", {"task": "final-rinse", "values": "hypochlorite-chlorhexidine"}),
    ("answer", {"task": "seal", "values": "crown-later"}),
    (
        "answer",
        {
            "task": "rinse-accident",
            "place-carry-on": "1",
            "place-record": "2",
            "place-relief": "3",
            "place-flush": "4",
            "place-say": "5",
            "place-supervisor": "6",
            "place-stop": "7",
        },
    ),
    ("answer", {"task": "aftercare", "values": "on-pain"}),
)
ACTS = {"look": LOOK, "weigh": WEIGH, "open": OPEN, "shape": SHAPE, "fill": FILL}
REFUSED = {  # what each address says no to, at any stage
    "ask": {"finding": "?"},
    "film": {"tube": "nowhere", "reason": ""},
    "ask-volume": {"reason": "curiosity", "hoped": ""},
    "answer": {"task": "curvature", "value": "no number"},
    "level": {"task": "difficulty-levels.health", "level": "9"},
    "move": {"kind": "hand_file", "canal": "no canal", "size": "1", "to_mm": "-1"},
    "self-grade": {"look": "101"},
    "mark-own": {"met-reason": "no-such-line"},
    "mark-words": {"task": "reason", "met-reason": "factor"},
}
TOLD_LATER = ("full-day", "reason", "step-order", "rinse-accident")  # asked by later versions of the rubric


@dataclass
class Seen:
    """One response: when it was seen, what was asked for, its status, and everything it carries as searchable text."""

    when: str
    asked: str
    status: int
    text: str


@dataclass
class Walk:
    """A student's browser at one attempt; it keeps everything it is given."""

    client: Client
    attempt: Attempt
    when: str = "before the first act"
    seen: list[Seen] = field(default_factory=list)

    def get(self, address, **headers):
        return self._keep(f"GET {address}", self.client.get(address, headers=headers))

    def post(self, address, body, **headers):
        return self._keep(f"POST {address} {body}", self.client.post(address, body, headers=headers))

    def address(self, name, *args):
        return reverse(name, args=[self.attempt.public_id, *args])

    def work(self, stage):
        """Everything a stage asks, answered badly; a look at all there is; then the stage is committed."""
        self.when = f"in {stage}"
        asked = {task.id for task in tasks_of(self.attempt.edition.document)}
        for name, body in ACTS[stage]:
            if body.get("task") in asked or body.get("task") not in TOLD_LATER:
                self._act(name, body)
        self.look_round()
        self._act("commit", {}, stage)
        self.when = f"after {stage}"

    def settle(self):
        self._act("self-grade", dict.fromkeys(GRADED_STAGES, "50"))
        if self.attempt.state().to_mark:
            self.when = "before the marks"
            self.get(self.address("mark-own"))
            self.look_round()
            self._act("mark-own", {"met-reason": ["factor"]})
        self.when = "settled"
        self.get(self.address("compare"))
        for canal in self.attempt.edition.document.anatomy.tooth.canals:
            self.get(self.address("canal-chart", canal.name))

    def look_round(self):
        """Every page that links lead to, every address typed by hand, and whatever is refused."""
        self.post(reverse("case", args=[self.attempt.edition.case.slug]), {})
        self._follow_links()
        for address in self._by_hand():
            self.get(address)
        for name, body in REFUSED.items():
            self.post(self.address(name), body)
            self.post(self.address(name), body, accept="application/json")
        for stage in (*GRADED_STAGES, "compare", "nothing"):
            if stage != self.attempt.state().open_stage:
                self.post(self.address("commit", stage), {})
        self.get("/no/such/page/")
        self.get(reverse("home"), host="not-this-machine.example")

    def _keep(self, asked, response):
        self.seen.append(Seen(self.when, asked, response.status_code, everything_in(response)))
        return response

    def _act(self, name, body, *args):
        """An act that has to be stored; its answer is kept as any other."""
        before = self.attempt.events.count()
        response = self.post(self.address(name, *args), body)
        assert self.attempt.events.count() > before, f"{name} {body} was not stored: {response.status_code}"

    def _follow_links(self):
        waiting, known = [reverse("landing"), reverse("home"), reverse("cases")], set()
        while waiting:
            address = waiting.pop()
            if address in known or not address.startswith("/") or address.startswith(("/static/", *LONELY)):
                continue
            known.add(address)
            response = self.get(address)
            found = [*LINK.findall(self.seen[-1].text), response.headers.get("Location", "")]
            waiting += [_from(address, link) for link in found]

    def _by_hand(self):
        tooth = self.attempt.edition.document.anatomy.tooth
        values = {
            "slug": [self.attempt.edition.case.slug, "no-such-case"],
            "public_id": [str(self.attempt.public_id), NOT_MINE],
            "stage": [*GRADED_STAGES, "compare", "nothing"],
            "number": [0, 1, 2, 3],
            "canal": [*(canal.name for canal in tooth.canals), "none"],
            "plane": ["axial", "oblique"],
            "pk": [1, 99_999],
            "mode": ["practice", "graded", "nothing"],
        }
        for name, parameters in addresses().items():
            for chosen in product(*(values[parameter] for parameter in sorted(parameters))):
                address = reverse(name, kwargs=dict(zip(sorted(parameters), chosen, strict=True)))
                if not address.startswith(LONELY):
                    yield address


def everything_in(response):
    """Status, headers, cookies and content of a response as text, with nothing left escaped or packed."""
    lines = [f"{response.status_code} {response.reason_phrase}"]
    lines += [f"{name}: {value}" for name, value in response.items()]
    lines += [cookie.OutputString() for cookie in response.cookies.values()]
    kind = response.headers.get("Content-Type", "")
    if kind == "image/png":
        lines += words_of_png(response.content)
    elif kind == "application/json":
        lines.append(json.dumps(response.json(), ensure_ascii=False))
    else:
        lines.append(html.unescape(response.content.decode()))
    return "\n".join(lines)


def words_of_png(content):
    """Every chunk of a PNG but the pixels, unpacked, and whatever follows its end."""
    assert content.startswith(b"\x89PNG\r\n\x1a\n")
    words, place = [], 8
    while place < len(content):
        length, kind = struct.unpack(">I4s", content[place : place + 8])
        data = content[place + 8 : place + 8 + length]
        place += length + 12
        if kind != b"IDAT":
            words.append(f"{kind.decode()} {_unpacked(kind, data).decode('latin-1')}")
        if kind == b"IEND":
            return [*words, content[place:].decode("latin-1")]
    raise AssertionError("a PNG without an end")


def _unpacked(kind, data):
    name, _, rest = data.partition(b"\0")
    if kind == b"zTXt":
        return name + zlib.decompress(rest[1:])
    if kind == b"iTXt" and rest[:1] == b"\1":
        language, _, rest = rest[2:].partition(b"\0")
        return name + language + zlib.decompress(rest.partition(b"\0")[2])
    return data


def _from(page, link):
    """Where a link on a page leads, without the place on it."""
    link = link.partition("#")[0]
    return page.partition("?")[0] + link if link.startswith("?") else link
