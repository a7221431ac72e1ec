"""What was computed lately, by key: the few used last, safe among threads."""

from collections import OrderedDict
from collections.abc import Hashable
from threading import Lock
from typing import Generic, TypeVar

Key = TypeVar("Key", bound=Hashable)
Value = TypeVar("Value")


class Kept(Generic[Key, Value]):
    """At most so many values; the one unused longest goes first."""

    def __init__(self, most: int) -> None:
        self._most, self._values, self._lock = most, OrderedDict[Key, Value](), Lock()

    def get(self, key: Key) -> Value | None:
        with self._lock:
            if key in self._values:
                self._values.move_to_end(key)
            return self._values.get(key)

    def put(self, key: Key, value: Value) -> Value:
        with self._lock:
            self._values[key] = value
            while len(self._values) > self._most:
                self._values.popitem(last=False)
        return value
