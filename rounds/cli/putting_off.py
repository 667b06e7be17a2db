"""Putting off on the command line: a vet matter until tomorrow at the latest, a danger sign not at all."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import datetime, timedelta
from typing import Final

from rounds.due.matter import Level
from rounds.due.off_sheet import matters_with
from rounds.errors import BadEntry
from rounds.logbook.entries import Entry, PutOff
from rounds.rules.house import House
from rounds.standing.fold import Standing

_INSTEAD: Final = "Phone a reptile vet, and write down vet_called or vet_seen."


def refuse_put_off(
    standing: Standing, house: House, entry: PutOff, now: datetime, missing: Sequence[Entry]
) -> None:
    """Raise `BadEntry` for a matter that, as it stands now, may not wait so long; `missing` stands on no sheet."""
    found = matters_with(standing, house, now, missing, (entry.about,))
    matter = next((one for one in found if one.key == entry.matter), None)
    if matter is None:
        return
    if matter.danger or matter.level is Level.VET_NOW:
        raise BadEntry(f"a danger sign cannot be put off. {_INSTEAD}")
    tomorrow = now.date() + timedelta(days=1)
    if matter.level is Level.VET and entry.until > tomorrow:
        raise BadEntry(f"a vet matter can be put off until {tomorrow}, not later. {_INSTEAD}")
