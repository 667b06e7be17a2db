"""TOML that is written plainly, read without a TOML parser: to load one costs each start 4 to 8 ms.

Plain are headers of bare keys, and one member a line whose value is a text without backslashes, a number, true,
false, or a list of such texts. Whatever is not as plain is left to the parser, what is wrong with it too.
"""

from __future__ import annotations

import re
from typing import Any, Final

import msgspec

_BLANK: Final = re.compile(r"(?:#[^\x00-\x08\x0a-\x1f\x7f]*)?")
_HEADER: Final = re.compile(r"\[([A-Za-z0-9_-]+(?:\.[A-Za-z0-9_-]+)*)\]")
_MEMBER: Final = re.compile(
    r'([A-Za-z0-9_-]+) ?= ?("[^"\\\x00-\x1f\x7f]*"|-?(?:0|[1-9][0-9]{0,14})(?:\.[0-9]{1,15})?|true|false|'
    r"\[[^\\{}#\x00-\x1f\x7f]*\])"
)


def plain_toml(text: str) -> dict[str, Any] | None:
    """What a plain text says, as `tomllib.loads` has it; None for one that is not plain."""
    found: dict[str, Any] = {}
    table = found
    headers: set[str] = set()
    for line in text.replace("\r\n", "\n").split("\n"):
        if _BLANK.fullmatch(line):
            continue
        header = _HEADER.fullmatch(line)
        if header is not None:
            if header[1] in headers:
                return None
            headers.add(header[1])
            table = found
            for name in header[1].split("."):
                table = table.setdefault(name, {})
                if not isinstance(table, dict):
                    return None
            continue
        member = _MEMBER.fullmatch(line)
        if member is None or member[1] in table:
            return None
        try:
            value = msgspec.json.decode(member[2])
        except ValueError:
            return None
        if isinstance(value, list) and not _of_texts(value):
            return None
        table[member[1]] = value
    return found


def _of_texts(values: list[Any]) -> bool:
    return all(isinstance(one, str) or (isinstance(one, list) and _of_texts(one)) for one in values)
