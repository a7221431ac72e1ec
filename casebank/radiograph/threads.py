"""The threads that render: a fixed few in a process, shared by all films under way in it."""

import os
from collections.abc import Callable, Iterable
from concurrent.futures import ThreadPoolExecutor
from functools import cache
from typing import TypeVar

RENDER_THREADS = 2  # of one process, however many films are asked for at once

Part = TypeVar("Part")
Outcome = TypeVar("Outcome")


@cache
def _pool() -> ThreadPoolExecutor:
    return ThreadPoolExecutor(RENDER_THREADS, thread_name_prefix="film")


if hasattr(os, "register_at_fork"):
    os.register_at_fork(after_in_child=_pool.cache_clear)  # threads do not survive a fork


def side_by_side(
    work: Callable[[Part], Outcome], parts: Iterable[Part], *, threads: int = RENDER_THREADS
) -> list[Outcome]:
    """The outcomes in the order of the parts; with one thread the caller does all itself. Work must not call this."""
    if threads == 1:
        return [work(part) for part in parts]
    return list(_pool().map(work, parts))
