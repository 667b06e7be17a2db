"""Sheets read one by one: their entries taken in, and noted where each line stands."""

from __future__ import annotations

from collections.abc import Iterator

from rounds.cache.lines import Noting
from rounds.cache.state import Taking
from rounds.sheets.shares import Share
from rounds.sheets.store import Sheets


def read_share(
    share: Share, taking: Taking, noting: Noting, sheets: Sheets, *, going_on: bool = False
) -> Iterator[tuple[int, int]]:
    """Read a share of the days; after each sheet, how many are read, and how many there are in all."""
    for part in sheets.read_through(share, going_on=going_on):
        taking.add(part.entries)
        noting.note(sheets, part)
        done = part.done, part.of
        del part  # the memory of one sheet serves the next
        yield done
