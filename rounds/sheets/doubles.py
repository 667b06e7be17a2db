"""Entries that stand twice on the sheets: what is to be told of them."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from typing import NamedTuple

from rounds.logbook.entries import Entry
from rounds.sheets.parse import Trouble
from rounds.sheets.watch import name_of, shown


class Double(NamedTuple):
    """An entry that was handed out before."""

    path: str
    entry: Entry
    #: Whether it stands twice in one and the same sheet.
    in_one: bool


def told_twice(doubles: Sequence[Double], entries: Iterable[Entry]) -> Iterator[tuple[str, Trouble]]:
    """What to tell of entries that stood on the sheets before, by sheet.

    Of what stands on two sheets nothing is: so it is with what a desk has written again and another program then
    brought back. `entries` are those that count: where one says something else, that one is reported by itself.
    """
    if not doubles:
        return
    first = {entry.id: entry for entry in entries}
    many: dict[str, int] = {}
    for path, entry, in_one in doubles:
        if first[entry.id] != entry:
            what = f"{shown(path)}: the entry {entry.id!r} says something else in another sheet; that one counts."
            yield path, Trouble(shown(path), 0, what)
        elif in_one and name_of(path) is not None:
            many[path] = many.get(path, 0) + 1
    for path, count in many.items():
        what = f"{shown(path)}: {count} of its entries stand on the sheets twice; each counts once."
        yield path, Trouble(shown(path), 0, what)


def doubles_among(sheets: Iterable[tuple[str, Iterable[Entry]]]) -> Iterator[tuple[str, Trouble]]:
    """What to tell of entries that stand twice, by sheet; `sheets` are in the order in which they count."""
    first: dict[str, Entry] = {}
    doubles: list[Double] = []
    for path, entries in sheets:
        here: set[str] = set()
        for entry in entries:
            if first.setdefault(entry.id, entry) is not entry:
                doubles.append(Double(path, entry, entry.id in here))
            here.add(entry.id)
    yield from told_twice(doubles, first.values())
