"""Films on disk: rendered once, then read. Each can be computed anew, so the folder may be emptied at any time.

The name of a file is a hash of what decides its pixels: the anatomy, the view, the receptor, what stands in the tooth
and the renderer.
"""

import fcntl
import hashlib
import json
import os
import tempfile
from collections.abc import Callable
from dataclasses import asdict, dataclass
from pathlib import Path

import numpy as np
from django.conf import settings
from pydantic import TypeAdapter

from casebank.anatomy import Anatomy
from casebank.radiograph import RENDERER_VERSION, Receptor, Rod, View, take
from casebank.radiograph.slice_planes import Cut, Volume
from casebank.radiograph.slices import take_slice
from casebank.radiograph.words import describe

ANATOMY = TypeAdapter(Anatomy)


@dataclass(frozen=True)
class FilmWords:
    """What a film shows, in sentences: the main things, and what else stands out."""

    brief: tuple[str, ...]
    more: tuple[str, ...]


def film_key(anatomy: Anatomy, view: View, receptor: Receptor, rods: tuple[Rod, ...] = ()) -> str:
    """The name of a film, 64 hexadecimal digits."""
    decides = [RENDERER_VERSION, ANATOMY.dump_python(anatomy, mode="json"), asdict(view), asdict(receptor)]
    decides += [_plain(rod) for rod in rods]
    return hashlib.sha256(json.dumps(decides, sort_keys=True).encode()).hexdigest()


def film_png(anatomy: Anatomy, view: View, receptor: Receptor, rods: tuple[Rod, ...] = ()) -> bytes:
    """A film as PNG, from the folder or rendered now. Whoever asks for a film waits for that film at most."""
    key = film_key(anatomy, view, receptor, rods)
    path = _folder() / f"{key}.png"
    return _read(path) or _made_once(path, lambda: take(anatomy, view=view, receptor=receptor, rods=rods).png())


def film_is_kept(anatomy: Anatomy, view: View, receptor: Receptor) -> bool:
    """Whether a film is in the folder, so that giving it takes no rendering."""
    return (_folder() / f"{film_key(anatomy, view, receptor)}.png").exists()


def quick_film_png(anatomy: Anatomy, view: View, receptor: Receptor) -> bytes:
    """The film from the folder, or a quick picture of it for the wait: a quarter of the rays, not kept."""
    kept = _read(_folder() / f"{film_key(anatomy, view, receptor)}.png")
    return kept or take(anatomy, view=view, receptor=receptor, preview=True).png()


def film_words(anatomy: Anatomy, view: View, receptor: Receptor) -> FilmWords:
    """The same film in words, from the folder or worked out now: first in brief, then all that stands out."""
    path = _folder() / f"{film_key(anatomy, view, receptor)}.words.json"

    def make() -> bytes:
        said = [describe(anatomy, view, detail=detail, receptor=receptor) for detail in ("brief", "full")]
        return json.dumps(said).encode()

    brief, full = json.loads(_read(path) or _made_once(path, make))
    return FilmWords(tuple(brief), tuple(sentence for sentence in full if sentence not in brief))


def section_png(anatomy: Anatomy, cut: Cut, volume: Volume) -> bytes:
    """A section of a limited volume as PNG, from the folder or computed now."""
    decides = [RENDERER_VERSION, "section", ANATOMY.dump_python(anatomy, mode="json"), asdict(cut), asdict(volume)]
    key = hashlib.sha256(json.dumps(decides, sort_keys=True).encode()).hexdigest()
    path = _folder() / f"{key}.png"
    return _read(path) or _made_once(path, lambda: take_slice(anatomy, cut, volume).png())


def _plain(rod: Rod) -> list[object]:
    """A rod as numbers, to a tenth of a micrometre, so that rounding elsewhere does not make another film of it."""
    shapes = (rod.centre_line, rod.radius_mm, np.asarray(rod.flattening), rod.axes)
    return [rod.material.label, *(np.round(shape, 4).tolist() for shape in shapes)]


def _folder() -> Path:
    folder = Path(settings.DATA_DIR) / "films"
    folder.mkdir(parents=True, exist_ok=True)
    return folder


def _read(path: Path) -> bytes | None:
    try:
        return path.read_bytes()
    except FileNotFoundError:
        return None


def _made_once(path: Path, make: Callable[[], bytes]) -> bytes:
    """Make a file under a lock of its own, so that two who ask for the same film at once render it once."""
    with path.with_suffix(".lock").open("w") as lock:
        fcntl.flock(lock, fcntl.LOCK_EX)
        content = _read(path)
        if content is None:
            content = make()
            with tempfile.NamedTemporaryFile(dir=path.parent, delete=False) as part:
                part.write(content)
            os.replace(part.name, path)
    return content
