"""By what a colony is known again, whatever lies at its path: its colony.toml and the first lines of its sheets."""

from __future__ import annotations

import os
from collections.abc import Iterable
from hashlib import sha256
from typing import Final

from rounds.sheets.disk import Disk, content_at
from rounds.sheets.watch import SHEETS, name_of

SETTINGS: Final = "colony.toml"
#: By so many first lines of its oldest sheets a colony is known again. No source, our choice.
_KNOWN_BY: Final = 8
_LONGEST_FIRST_LINE: Final = 4096
_LARGEST_SETTINGS: Final = 1 << 20


def marks_of(colony: Disk) -> dict[str, str]:
    """The marks of what lies there now, by file. Raises `OSError` where sheets cannot be looked for."""
    marks = {SETTINGS: settings_mark(colony)}
    for year in sorted(name for name, _ in colony.list(SHEETS) if name.isdecimal()):
        paths = [f"{SHEETS}/{year}/{name}" for name, _ in colony.list(f"{SHEETS}/{year}")]
        for path in sorted(path for path in paths if name_of(path) is not None):
            marks[path] = first_line(colony, path)
            if sum(map(bool, marks.values())) > _KNOWN_BY:
                return {path: mark for path, mark in marks.items() if mark}
    return {path: mark for path, mark in marks.items() if mark}


def has_one_of(colony: Disk, marks: Iterable[tuple[str, str]]) -> bool:
    """Whether one of these marks is still found: then it is the colony that they were taken of."""
    return any(
        (settings_mark(colony) if path == SETTINGS else first_line(colony, path)) == mark for path, mark in marks
    )


def settings_mark(colony: Disk) -> str:
    """A mark of this very colony.toml, that of one begun again is another; empty when there is none."""
    try:
        content = content_at(colony, SETTINGS, _LARGEST_SETTINGS)
        changed = colony.status(SETTINGS).st_mtime_ns
    except OSError:
        return ""
    return sha256(b"%d %s" % (changed, content)).hexdigest()[:16] if content else ""


def first_line(disk: Disk, path: str) -> str:
    """A mark of a sheet's first line; empty when there is none."""
    try:
        handle = disk.open(path, os.O_RDONLY)
    except OSError:
        return ""
    try:
        line, ended, _ = disk.read(handle, _LONGEST_FIRST_LINE, 0).partition(b"\n")
    except OSError:
        return ""
    finally:
        disk.close(handle)
    return sha256(line).hexdigest()[:16] if line and (ended or len(line) == _LONGEST_FIRST_LINE) else ""
