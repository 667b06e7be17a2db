"""A reading of all sheets in parts, and by several processes: what each part and each process hands over."""

from __future__ import annotations

from typing import Final, NamedTuple

from rounds.logbook.entries import Entry
from rounds.sheets.parse import Trouble
from rounds.sheets.watch import Mark


class Part(NamedTuple):
    """One sheet out of a reading of all: its path, its entries that were not handed out yet, how far that is."""

    path: str
    entries: list[Entry]
    done: int
    of: int
    #: The bytes of the sheet, when all of it was read.
    content: bytes | None
    #: How many bytes all sheets are together.
    size: int


class Share(NamedTuple):
    """One of several equal shares of the days, counted from 0."""

    number: int
    of: int


class Report(NamedTuple):
    """How far each sheet was read, and what was found damaged in it."""

    marks: dict[str, Mark]
    inside: dict[str, list[Trouble]]


ALL: Final = Share(0, 1)


def is_doubled(content: bytes) -> bool:
    """Whether a sheet holds its first line again, as when another program put it together with a copy of itself."""
    first = content[: content.find(b"\n") + 1]
    return not first or content.find(first, len(first)) >= 0
