"""The pen: how a keeper's entries come to stand in the logbook, at once or some walks later."""

from __future__ import annotations

from datetime import date, datetime, time, timedelta
from typing import Any, Final
from zoneinfo import ZoneInfo

import msgspec

from rounds.logbook.entries import Entry
from rounds.logbook.times import on_wall

ZONE: Final = ZoneInfo("Europe/Vienna")
FIRST_DAY: Final = date(2026, 3, 1)
#: Seconds from one entry of a walk to the next.
_APART: Final = 15


def moment(hour: float) -> datetime:
    """The room's clock at an hour of the season."""
    minutes = int(hour % 24 * 60)
    return on_wall(FIRST_DAY + timedelta(days=int(hour // 24)), time(minutes // 60, minutes % 60), ZONE)


class Pen:
    """Writes entries; each gets its id in the order of writing."""

    def __init__(self) -> None:
        self.now = moment(0)
        self.by = "AK"
        self._number = 0
        self._fresh: list[Entry] = []
        #: Entries kept in mind, and how many walks until they are written.
        self._later: list[tuple[int, Entry]] = []

    def walk_begins(self, now: datetime, by: str) -> None:
        """Another walk: what was kept in mind long enough is written down now."""
        self.now, self.by = now, by
        later, self._later = self._later, []
        for walks, entry in later:
            if walks > 1:
                self._later.append((walks - 1, entry))
            else:
                self._step()
                self._fresh.append(msgspec.structs.replace(entry, id=self._id(), written=self.now))

    def write(self, kind: type[Entry], about: str, later: int = 0, **members: Any) -> None:
        """An entry of this kind, written now or `later`, so many walks from now."""
        self._step()
        entry = kind(id=self._id(), at=self.now, by=self.by, about=about, **members)
        if later:
            self._later.append((later, entry))
        else:
            self._fresh.append(entry)

    def taken(self) -> list[Entry]:
        """What was written since the last time this was asked."""
        fresh, self._fresh = self._fresh, []
        return fresh

    def _step(self) -> None:
        self.now += timedelta(seconds=_APART)

    def _id(self) -> str:
        self._number += 1
        return f"{self._number:07d}"
