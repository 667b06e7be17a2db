"""What the program should say of the demo on one fixed morning, kept as text to be read and compared.

`python -m demo_colony.expected` tells what differs, `python -m demo_colony.expected --write` writes it anew.
"""

from __future__ import annotations

from datetime import date, datetime, time
from pathlib import Path
from typing import TYPE_CHECKING, Final

from demo_colony import write
from demo_colony.people import ZONE
from rounds.logbook.entries import Entry, HandedOver
from rounds.logbook.times import on_wall

if TYPE_CHECKING:
    from rounds.rules.settings import Settings

FOLDER: Final = Path(__file__).parent
#: The fixed morning: a week after the clocks went back in the room.
MORNING: Final = on_wall(date(2026, 4, 12), time(8), ZONE)


def sheets() -> dict[str, str]:
    """The expected sheets by their file names: the round, the matters, and last evening's hand-over."""
    # The demo itself needs the logbook only; what judges it and what prints it is loaded here.
    from rounds.due.reckon import matters
    from rounds.paper.matters import matter_list, matters_text
    from rounds.standing.fold import fold

    settings = _settings()
    entries = write.entries(MORNING)
    standing = fold(entries)
    found = matters(standing, settings.house, MORNING)
    return {
        "due.txt": _round(entries, settings),
        "matters.txt": matters_text(matter_list(standing, settings, MORNING, found, every=True), MORNING),
        "hand-over.txt": _hand_over(entries, settings),
    }


def _settings() -> Settings:
    from rounds.rules.default import default_rules
    from rounds.rules.settings import settings_of

    return settings_of(write.settings(ZONE), default_rules())


def _round(entries: list[Entry], settings: Settings) -> str:
    from rounds.due.lines import lines_at
    from rounds.due.reckon import matters
    from rounds.due.walk import Walk
    from rounds.paper.today import today, today_text
    from rounds.standing.fold import fold

    standing = fold(entries)
    walk = Walk(standing, settings, MORNING)
    told = today(
        standing,
        settings,
        MORNING,
        walk,
        lambda stop: lines_at(standing, settings.house, MORNING, stop, walk.part),
        matters(standing, settings.house, MORNING),
    )
    return today_text(told, MORNING)


def _hand_over(entries: list[Entry], settings: Settings) -> str:
    """The sheet as the evening keeper had it to sign on the evening before."""
    from rounds.due.lines import lines_at
    from rounds.due.reckon import matters
    from rounds.due.walk import Walk
    from rounds.paper.hand_over import Done, hand_over, refuse_unread, shift_began
    from rounds.paper.hand_over_text import hand_over_text
    from rounds.standing.fold import fold

    signed = max((entry for entry in entries if isinstance(entry, HandedOver)), key=lambda entry: entry.key)
    now: datetime = signed.at
    before = [entry for entry in entries if entry.key < signed.key]
    standing = fold(before)
    walk = Walk(standing, settings, now)
    found = matters(standing, settings.house, now)
    refuse_unread(found, standing)
    done = Done(walk, lambda stop: lines_at(standing, settings.house, now, stop, walk.part), found, before[-2000:])
    since = shift_began(before, signed.by, now)
    told = hand_over(standing, settings, now, done, by=signed.by, since=since, to=signed.to, notes=signed.note)
    return hand_over_text(told, now)
