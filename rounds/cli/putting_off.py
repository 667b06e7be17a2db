"""Putting off on the command line: a vet matter until tomorrow at the latest, a danger sign not at all."""

from __future__ import annotations

from datetime import datetime, timedelta
from typing import Final

from rounds.due import reckon
from rounds.due.matter import Level
from rounds.errors import BadEntry
from rounds.logbook.entries import PutOff
from rounds.rules.house import House
from rounds.standing.fold import Standing

_INSTEAD: Final = "Phone a reptile vet, and write down vet_called or vet_seen."


def refuse_put_off(standing: Standing, house: House, entry: PutOff, now: datetime) -> None:
    """Raise `BadEntry` for a matter that, as it stands now, may not wait so long."""
    found = reckon.matters_about(standing, house, now, (entry.about,))
    matter = next((one for one in found if one.key == entry.matter), None)
    if matter is None:
        return
    if matter.danger or matter.level is Level.VET_NOW:
        raise BadEntry(f"a danger sign cannot be put off. {_INSTEAD}")
    tomorrow = now.date() + timedelta(days=1)
    if matter.level is Level.VET and entry.until > tomorrow:
        raise BadEntry(f"a vet matter can be put off until {tomorrow}, not later. {_INSTEAD}")
