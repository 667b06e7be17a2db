"""The readers that are fuzzed: a module each, whose `prepared` gives what takes one input."""

from __future__ import annotations

from collections.abc import Callable
from importlib import import_module
from pathlib import Path
from typing import NamedTuple, TypeAlias

#: Takes one input; raises when a promise does not hold.
Taker: TypeAlias = Callable[[bytes], None]


class Target(NamedTuple):
    """One reader."""

    #: What it is given, as the table of a run says it.
    of: str
    #: How many of a thousand inputs are its own: fewer where each takes long.
    share: int
    #: An input has so many bytes at most.
    longest: int = 256
    #: Whose code tells inputs apart, beside ours.
    also: tuple[str, ...] = ()


TARGETS: dict[str, Target] = {
    "sheets": Target("sheets: any bytes, and sound lines with anything around them", 205, 400),
    "append": Target("the end of a desk's own sheet, written on", 90, 300),
    "repair": Target("damaged sheets, repaired", 90, 300),
    "paths": Target("names of files below sheets/", 15, 120),
    "state_files": Target("the name of the installation, as the state folder has it", 5, 100),
    "store": Target("the cache: files of SQLite, harmed", 40, 200),
    "cache": Target("the cache: a start from a harmed one, against reading all", 8, 120),
    "sections": Target("the cache: sections and segments of any content", 60, 300),
    "json_lines": Target("JSON lines for `log -`", 80, 500),
    "log_words": Target("words for `log`", 70, 200),
    "find_words": Target("words for `find`", 60, 160),
    "command_lines": Target("command lines", 20, 160),
    "commands": Target("whole commands, carried out", 6, 160),
    "moments": Target("moments and days as people write them", 84, 60),
    "colony_toml": Target("colony.toml", 40, 400),
    "recurrence": Target("recurrence rules", 2, 120),
    "keys_toml": Target("keys.toml", 25, 300),
    "labels": Target("labels and letters looked for, and any text shown", 15, 120),
    "terminal": Target("bytes of a terminal", 40, 300, also=("textual",)),
    "unfinished": Target("what was being typed, as the state folder has it", 3, 300),
    "blocks": Target("sheets too large for one go, read in blocks", 30, 300),
    "missing": Target("what is noted as missing, in the state folder", 2, 300),
    "journal": Target("a desk's harmed sheet beside its harmed journal", 10, 300),
}


def taker(name: str, folder: Path) -> Taker:
    """What takes one input of a target; `folder` is empty and its own."""
    found: Taker = import_module(f"{__name__}.{name}").prepared(folder)
    return found
