"""Films on disk: rendered once, then read. Each can be computed anew, so the folder may be emptied at any time.

The name of a file is a hash of what decides its pixels: the anatomy, the view, the receptor and the renderer.
"""

import fcntl
import hashlib
import json
import os
import tempfile
from collections.abc import Callable
from dataclasses import asdict
from pathlib import Path

from django.conf import settings
from pydantic import TypeAdapter

from casebank.anatomy import Anatomy
from casebank.radiograph import RENDERER_VERSION, Receptor, View, take

ANATOMY = TypeAdapter(Anatomy)


def film_key(anatomy: Anatomy, view: View, receptor: Receptor) -> str:
    """The name of a film, 64 hexadecimal digits."""
    decides = [RENDERER_VERSION, ANATOMY.dump_python(anatomy, mode="json"), asdict(view), asdict(receptor)]
    return hashlib.sha256(json.dumps(decides, sort_keys=True).encode()).hexdigest()


def film_png(anatomy: Anatomy, view: View, receptor: Receptor) -> bytes:
    """A film as PNG, from the folder or rendered now. Whoever asks for a film waits for that film at most."""
    key = film_key(anatomy, view, receptor)
    path = _folder() / f"{key}.png"
    return _read(path) or _made_once(path, lambda: take(anatomy, view=view, receptor=receptor).png())


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
