"""An invented incubator: two shelves with a logger, and clutches on them."""

from __future__ import annotations

import random
from collections.abc import Iterator
from datetime import datetime, timedelta
from zoneinfo import ZoneInfo

from rounds.logbook.entries import ClimateLogged, EggsBoxed, EggsLaid, EnclosureSetUp, Entry

ZONE = ZoneInfo("Europe/Vienna")


def readings_of_a_day(id: str, shelf: str, begun: datetime, seed: int) -> ClimateLogged:
    """A reading each 5 minutes, none left out: noisier than any shelf."""
    dice = random.Random(seed)
    return ClimateLogged(
        id=id,
        at=begun,
        by="AK",
        about=f"enclosure/{shelf}",
        minutes=tuple(range(0, 1_440, 5)),
        air_c=tuple(round(29.3 + dice.gauss(0, 0.4), 2) for _ in range(288)),
    )


def colony_of_clutches(clutches: int, *, days: int, until: datetime) -> Iterator[Entry]:
    """Two shelves read for so many days, and clutches on them, laid over these days."""
    begun = until - timedelta(days=days)
    for shelf in ("s1", "s2"):
        yield EnclosureSetUp(
            id=f"up-{shelf}", at=begun, by="AK", about=f"enclosure/{shelf}", name=shelf, what="incubator shelf"
        )
        for day in range(days):
            yield readings_of_a_day(f"{shelf}-{day}", shelf, begun + timedelta(days=day), day)
    for number in range(clutches):
        laid = begun + timedelta(days=number * (days - 5) / clutches)
        clutch = f"clutch/c-{number}"
        yield EggsLaid(
            id=f"l-{number}", at=laid, by="AK", about=f"animal/dam-{number}", clutch=clutch, count=20, complete=True
        )
        yield EggsBoxed(
            id=f"b-{number}", at=laid, by="AK", about=clutch, place=f"enclosure/s{number % 2 + 1}", count=20
        )
