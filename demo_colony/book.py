"""The demo's logbook while it is being made up: lines counted in days before the end, not yet entries."""

from __future__ import annotations

from collections.abc import Iterable
from datetime import date, datetime, time, timedelta
from random import Random
from typing import Any, Final, NamedTuple
from zoneinfo import ZoneInfo

from demo_colony.people import BENCH, keeper_at
from rounds.logbook import rows
from rounds.logbook.entries import Entry
from rounds.logbook.times import on_wall

DAY: Final = 24 * 60 * 60


class Line(NamedTuple):
    """One entry to come. `day` is negative, `second` counts from midnight by the room's clock."""

    day: int
    second: int
    kind: type[Entry]
    about: str
    fields: dict[str, Any]
    #: When it was written down, if later than seen: day and second.
    late: tuple[int, int] | None = None
    desk: str = BENCH
    #: A name by which other lines can ask for its id.
    label: str = ""
    #: Fields that are to hold the ids of other lines, by their labels.
    ids: tuple[tuple[str, str], ...] = ()

    @property
    def writing(self) -> tuple[int, int]:
        """Day and second at which it is written down."""
        return self.late or (self.day, self.second)


class Written(NamedTuple):
    """An entry and the desk at which it was written."""

    desk: str
    entry: Entry


def written(lines: Iterable[Line], end: date, zone: ZoneInfo, rng: Random) -> list[Written]:
    """The lines as entries, in the order of their writing. Each gets an id later than the one before it."""
    ordered = sorted(lines, key=lambda line: line.writing)
    moments = _Moments(end, zone)
    ids: list[str] = []
    labelled: dict[str, str] = {}
    last = datetime.min.replace(tzinfo=zone)
    for line in ordered:
        # One save gives ids a millisecond apart, as a desk does.
        last = max(moments.at(*line.writing), last + timedelta(milliseconds=1))
        ids.append(rows.id_of(last, rng.getrandbits(25)))
        if line.label:
            labelled[line.label] = ids[-1]
    found: list[Written] = []
    for line, id in zip(ordered, ids, strict=True):
        fields = {**line.fields, **{name: labelled[label] for name, label in line.ids}} if line.ids else line.fields
        entry = line.kind(
            id=id,
            at=moments.at(line.day, line.second),
            by=keeper_at(line.writing[0], line.writing[1] // 60),
            about=line.about,
            written=moments.at(*line.late) if line.late else None,
            **fields,
        )
        found.append(Written(line.desk, entry))
    return found


class _Moments:
    """Day and second to a moment, each worked out once."""

    def __init__(self, end: date, zone: ZoneInfo) -> None:
        self._end = end
        self._zone = zone
        self._known: dict[tuple[int, int], datetime] = {}

    def at(self, day: int, second: int) -> datetime:
        """The moment at which the room's clock shows this second of the day."""
        known = self._known.get((day, second))
        if known is None:
            clock = time(second // 3600, second // 60 % 60, second % 60)
            known = on_wall(self._end + timedelta(days=day), clock, self._zone)
            self._known[day, second] = known
        return known
