"""Laptops in one process: a colony's folder, desks on it, each with its own clock and keeper."""

from __future__ import annotations

from collections.abc import Iterable
from datetime import date, datetime, timedelta
from pathlib import Path
from zoneinfo import ZoneInfo

from rounds.desk.colony_file import load, write_new
from rounds.desk.desk import Desk
from rounds.due import reckon
from rounds.due.walk import Walk
from rounds.logbook.drafts import Draft, draft
from rounds.logbook.entries import Entry, Noted, StopWalked, Weighed
from rounds.logbook.words import WalkPart
from rounds.sheets.store import Sheets
from tests.notation import VIENNA, at, logbook

#: Two places and who lives there, as an earlier desk wrote them down.
ROOM = """
2026-03-01 AK
08:00 b3      enclosure_set_up name=B3
08:00 b4      enclosure_set_up name=B4
08:01 wattle  arrived name=Wattle sex=F hatched=2023-02-01 place=b3
08:02 sedge   arrived name=Sedge sex=F hatched=2023-12-01 place=b3
08:03 karri   arrived name=Karri sex=M hatched=2022-02-01 place=b4
"""


class Clock:
    """A machine's clock, set by hand."""

    def __init__(self, moment: str | datetime, zone: ZoneInfo = VIENNA) -> None:
        self._zone = zone
        self.now = at("2000-01-01")
        self.set(moment)

    def __call__(self) -> datetime:
        return self.now

    def set(self, moment: str | datetime) -> None:
        """Set it, by the room's clock or to a moment with its offset."""
        self.now = at(moment, self._zone) if isinstance(moment, str) else moment

    def forward(self, **time: float) -> None:
        """Put it on (or back)."""
        self.now += timedelta(**time)


def colony(folder: Path, page: str = ROOM, zone: ZoneInfo = VIENNA) -> Path:
    """A colony's folder with a page of the logbook in it."""
    write_new(folder, "Quandong shed", zone.key)
    put(folder, logbook(page, zone))
    return folder


def put(folder: Path, entries: Iterable[Entry], desk: str = "before") -> None:
    """Have entries on the sheets of a desk, each on the sheet of its day."""
    by_day: dict[date, list[Entry]] = {}
    for entry in entries:
        by_day.setdefault((entry.written or entry.at).date(), []).append(entry)
    sheets = Sheets(folder, desk)
    for day, lines in by_day.items():
        sheets.append(lines, day)
    sheets.close()


def laptop(folder: Path, clock: Clock | str, name: str = "rack", keeper: str = "AK") -> Desk:
    """A desk of this name, opened and read."""
    desk = Desk(
        folder,
        load(folder),
        Sheets(folder, name),
        clock=Clock(clock) if isinstance(clock, str) else clock,
        keeper=keeper,
    )
    desk.read()
    return desk


def stop(enclosure: str, day: str, part: WalkPart = "morning") -> Draft:
    """A stop of a walk done."""
    return draft(StopWalked, f"enclosure/{enclosure}", walk=part, day=date.fromisoformat(day))


def weight(animal: str, grams: float, seen: datetime | None = None) -> Draft:
    """A weight, seen now unless told."""
    return draft(Weighed, f"animal/{animal}", at=seen, grams=grams)


def note(text: str) -> Draft:
    """A note about the room."""
    return draft(Noted, "room", note=text)


def walk(desk: Desk, part: WalkPart | None = None) -> Walk:
    """The walk as this desk sees it now."""
    return Walk(desk.standing, desk.settings, desk.now(), part)


def matters(desk: Desk) -> list[tuple[str, str, str]]:
    """All matters as this desk sees them now: level, about whom, in words."""
    found = reckon.matters(desk.standing, desk.house, desk.now())
    return [(one.level.word, one.about, one.says) for one in found]


def weights(desk: Desk, animal: str) -> list[float]:
    """The weights on an animal's page, by time."""
    return [one.grams for one in desk.standing.page(f"animal/{animal}").of(Weighed)]


def ids(folder: Path) -> list[str]:
    """The id of every good entry on a colony's sheets, as often as it is handed out."""
    return sorted(entry.id for entry in Sheets(folder, "reader").read())
