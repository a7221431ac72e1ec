"""One field of a JSON file set or exchanged, with every other letter of the file left as it is."""

import json
import re
from typing import Any

BLANK = re.compile(r"\s*")
FIRST_FIELD = re.compile(r"\{\n?([ \t]*)\"")


def with_field(text: str, name: str, value: Any) -> str:
    """The text of a JSON object with one of its own fields set, in the indent that its first field has.

    >>> print(with_field('{\\n  "a": [1,2],\\n  "b": 0\\n}\\n', "b", {"c": 3}), end="")
    {
      "a": [1,2],
      "b": {
        "c": 3
      }
    }
    >>> with_field('{\\n\\t"a": 1\\n}\\n', "b", 2)
    '{\\n\\t"a": 1,\\n\\t"b": 2\\n}\\n'
    """
    found = FIRST_FIELD.search(text)
    indent = found.group(1) if found else ""
    written = json.dumps(value, indent=indent or None, ensure_ascii=False, allow_nan=False)
    written = written.replace("\n", f"\n{indent}")
    spans = _values(text)
    if name in spans:
        begin, end = spans[name]
        return text[:begin] + written + text[end:]
    last = max((end for _, end in spans.values()), default=text.index("{") + 1)
    between = f"\n{indent}" if indent else " "
    return f"{text[:last]}{',' if spans else ''}{between}{json.dumps(name)}: {written}{text[last:]}"


def _values(text: str) -> dict[str, tuple[int, int]]:
    """Where each value of the outermost object begins and ends."""
    decoder = json.JSONDecoder()
    spans = {}
    at = _past_blank(text, text.index("{") + 1)
    while text[at] != "}":
        name, at = decoder.raw_decode(text, at)
        begin = _past_blank(text, _past_blank(text, at) + 1)
        _, end = decoder.raw_decode(text, begin)
        spans[name] = (begin, end)
        at = _past_blank(text, end)
        if text[at] == ",":
            at = _past_blank(text, at + 1)
    return spans


def _past_blank(text: str, at: int) -> int:
    found = BLANK.match(text, at)
    return found.end() if found else at
