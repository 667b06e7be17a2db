"""An entry before it is written: what was seen, without id, time of writing and keeper."""

from __future__ import annotations

from datetime import datetime
from typing import Any, NamedTuple

from rounds.logbook.entries import Entry


class Draft(NamedTuple):
    """What a key or a form wants written. The desk adds id, time and keeper and writes it.

    `at` is given only when it was seen earlier than now.
    """

    kind: type[Entry]
    about: str
    fields: dict[str, Any]
    at: datetime | None = None

    def entry(self, id: str, now: datetime, by: str) -> Entry:
        """The entry, written at `now` by a keeper; both times are kept when it was seen earlier."""
        written = now if self.at is not None and self.at != now else None
        return self.kind(id=id, at=self.at or now, by=by, about=self.about, written=written, **self.fields)


def draft(kind: type[Entry], about: str, at: datetime | None = None, **fields: Any) -> Draft:
    """A draft of an entry of this kind about this subject."""
    return Draft(kind, about, fields, at)
