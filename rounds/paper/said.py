"""An entry in a few words as a keeper would say it: animals and places by their names, matters by their rule."""

from __future__ import annotations

import msgspec

from rounds.logbook.entries import Acknowledged, Entry, PedigreeNoted, PutOff
from rounds.standing.fold import Standing


def said(standing: Standing, entry: Entry) -> str:
    """What was seen, without its subject and its note: `mating seen with Karri`, `acknowledged: danger sign`."""
    if isinstance(entry, Acknowledged):
        level = f" ({entry.level})" if entry.level else ""
        return f"acknowledged: {_rule(entry.matter)}{level}"
    if isinstance(entry, PutOff):
        return f"{_rule(entry.matter)}: {entry.phrase()}"
    named = {
        # What stands behind the slash of an id is what a phrase says; a name with a slash of its own keeps it.
        field: f"animal/{standing.name(subject).replace('/', '∕')}"
        for field in (*entry.mentions, *(("sire", "dam") if isinstance(entry, PedigreeNoted) else ()))
        if isinstance(subject := getattr(entry, field), str) and subject
    }
    return (msgspec.structs.replace(entry, **named) if named else entry).phrase()


def _rule(key: str) -> str:
    """The rule's words from the key of a matter: rule, subject, day."""
    return key.rsplit(" ", 2)[0] or key
