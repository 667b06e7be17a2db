"""The racks as they stand in the room: which enclosure is in which rack, in which row of it.

colony.toml may say it (`racks`). What it does not say is guessed: the rack by what was set up with the enclosure or
by its name (B3 stands in rack B, row 3; `Tub 12` is the twelfth tub; B3a and B3b stand side by side), the row by
the last number of the name. What has no number comes below, in walking order.
"""

from __future__ import annotations

import re
from collections.abc import Sequence
from typing import Final, NamedTuple

from rounds.logbook.words import EnclosureType
from rounds.standing.enclosure import enclosure
from rounds.standing.fold import Standing

#: The last number of a name is the row, what stands before it the rack, one letter behind it the side.
#: These are compiled when a room is first drawn: the first stop waits for none of them.
_NUMBERED: Final = r"(?s)(?P<rack>.*?)[\s\-_.#/,:]*(?P<row>\d{1,6})(?P<side>[A-Za-z]?)"
_IN_RACK: Final = r"(?i)\brack\s+(?P<rack>[^\s,;.]+)"
_IN_ROW: Final = r"(?i)\b(?:row|shelf|level|tier)\s*(?P<row>\d{1,6})\b"
#: What a whole rack of one kind is called.
_KINDS: Final[dict[EnclosureType, str]] = {
    "tub": "tubs",
    "open tub": "tubs",
    "tank": "tanks",
    "bin": "bins",
    "vivarium": "vivariums",
    "lay box": "lay boxes",
    "incubator shelf": "shelves",
    "egg box": "egg boxes",
}
#: Kinds that are called so whatever letter is on them; a rack of tubs is rack B, unless its letter is T.
_ALWAYS: Final = frozenset({"lay box", "incubator shelf", "egg box"})
#: A rack that nobody named is drawn in columns of so many rows at most.
_MOST_ROWS: Final = 20


class RackSetting(NamedTuple):
    """A rack as colony.toml has it: its name, and from the top row down what stands in each row; "" is free.

    Without rows it only says where the rack stands among the others.
    """

    name: str
    rows: tuple[tuple[str, ...], ...] = ()


class Rack(NamedTuple):
    """A rack: what it is called, and its rows from the top down, all as wide; None is a free place."""

    title: str
    rows: tuple[tuple[str | None, ...], ...]

    @property
    def columns(self) -> int:
        """How many stand side by side."""
        return max((len(row) for row in self.rows), default=1)

    @property
    def stops(self) -> tuple[str, ...]:
        """Every enclosure in it, row by row."""
        return tuple(one for row in self.rows for one in row if one is not None)


class _Guess(NamedTuple):
    stop: str
    row: int | None
    side: str


def racks(standing: Standing, stops: Sequence[str], settings: Sequence[RackSetting] = ()) -> tuple[Rack, ...]:
    """The racks of the room from left to right; every stop stands in exactly one of them.

    `stops` are the enclosures in walking order, `settings` what colony.toml says. Worked out once for a standing.
    """
    key = ("racks", tuple(stops), tuple(settings))
    found: tuple[Rack, ...] | None = standing.views.get(key)
    if found is None:
        found = standing.views[key] = tuple(_racks(standing, stops, settings))
    return found


def _racks(standing: Standing, stops: Sequence[str], settings: Sequence[RackSetting]) -> list[Rack]:
    named: dict[str, str] = {}
    for stop in reversed(stops):
        named[standing.card(stop).name.casefold()] = stop
    for stop in stops:
        named[stop.casefold()] = stop
        named.setdefault(stop.partition("/")[2].casefold(), stop)
    left = dict.fromkeys(stops)
    given: list[list[tuple[str | None, ...]]] = []
    for rack in settings:
        rows: list[tuple[str | None, ...]] = []
        for words in rack.rows:
            row: list[str | None] = []
            for word in words:
                found = named.get(word.casefold(), "") if word else ""
                row.append(found if found in left else None)
                left.pop(found, None)
            rows.append(tuple(row))
        given.append(rows)
    groups: dict[str, list[_Guess]] = {}
    calls: dict[str, str] = {}
    for stop in left:
        word, guess = _guess(standing, stop)
        groups.setdefault(word.casefold(), []).append(guess)
        calls.setdefault(word.casefold(), word)
    titles = {key: _title(standing, calls[key], groups[key]) for key in groups}
    drawn: list[Rack] = []
    for rack, rows in zip(settings, given, strict=True):
        mine = [key for key in groups if rack.name.casefold() in (key, titles[key].casefold())]
        guessed = [row for key in mine for row in _rows(groups.pop(key))]
        if rows or guessed:
            title = f"rack {rack.name}" if len(rack.name) < 3 else rack.name
            drawn.append(Rack(title, _even([*rows, *guessed])))
    for key, group in groups.items():
        rows = _rows(group)
        if any(not standing.card(one.stop).rack for one in group):
            rows = _folded(rows)
        drawn.append(Rack(titles[key], _even(rows)))
    return drawn


def _guess(standing: Standing, stop: str) -> tuple[str, _Guess]:
    """The word for the rack an enclosure stands in, as far as that is known, and its row and side."""
    card = standing.card(stop)
    name, rack = card.name.strip(), card.rack.strip()
    numbered = re.fullmatch(_NUMBERED, name)
    if numbered is not None:
        return rack or numbered["rack"].strip(), _Guess(stop, int(numbered["row"]), numbered["side"].casefold())
    up = enclosure(standing, stop).set_up
    where = up.where if up is not None else ""
    if not rack and (said := re.search(_IN_RACK, where)):
        rack = said["rack"]
    row = re.search(_IN_ROW, where)
    return rack, _Guess(stop, int(row["row"]) if row else None, "")


def _title(standing: Standing, word: str, group: Sequence[_Guess]) -> str:
    """What a guessed rack is called: `rack B`, `tubs`, `lay boxes`, `Balcony`, `others`."""
    kinds = {standing.card(one.stop).what for one in group}
    plural = {_KINDS.get(kind, "") for kind in kinds}  # type: ignore[call-overload]
    called = plural.pop() if len(plural) == 1 else ""
    if called and (kinds <= _ALWAYS or (len(word) == 1 and called.startswith(word.casefold()))):
        return str(called)
    if not word:
        return "others"
    return f"rack {word}" if len(word) < 3 else word


def _rows(group: Sequence[_Guess]) -> list[tuple[str | None, ...]]:
    """The rows of a guessed rack. A gap in the numbers is a free place, unless most numbers are missing."""
    sides = sorted({one.side for one in group})
    placed: dict[int, dict[str, str]] = {}
    behind: list[str] = []
    for one in group:
        if one.row is None or one.side in placed.get(one.row, ()):
            behind.append(one.stop)
        else:
            placed.setdefault(one.row, {})[one.side] = one.stop
    if placed:
        most = 2 * len(placed)
        first = min(1, min(placed)) if max(placed) <= most else min(placed)
        gaps = max(placed) - first < most
        numbers = range(first, max(placed) + 1) if gaps else sorted(placed)
        rows = [tuple(placed.get(number, {}).get(side) for side in sides) for number in numbers]
    else:
        rows = []
    return [*rows, *((stop,) for stop in behind)]


def _folded(rows: list[tuple[str | None, ...]]) -> list[tuple[str | None, ...]]:
    """A long row of enclosures in several columns, read down and then across."""
    if len(rows) <= 2 * _MOST_ROWS:
        return rows
    columns = -(-len(rows) // _MOST_ROWS)
    deep = -(-len(rows) // columns)
    wide = max(len(row) for row in rows)
    whole = [row + (None,) * (wide - len(row)) for row in rows]
    whole += [(None,) * wide] * (columns * deep - len(rows))
    return [sum((whole[place + deep * column] for column in range(columns)), ()) for place in range(deep)]


def _even(rows: Sequence[tuple[str | None, ...]]) -> tuple[tuple[str | None, ...], ...]:
    wide = max((len(row) for row in rows), default=1)
    return tuple(row + (None,) * (wide - len(row)) for row in rows)
