"""A view of one subject's page: its own entries, by kind."""

from __future__ import annotations

from collections.abc import Iterable
from typing import TypeVar

from rounds.logbook.entries import Entry
from rounds.standing.page import Page

Kind = TypeVar("Kind", bound=Entry)


class View:
    """A subject as it stands, worked out from its page."""

    def __init__(self, page: Page) -> None:
        self.page = page
        self.subject = page.subject
        self._own: dict[type[Entry], tuple[Entry, ...]] = {}

    def own(self, kind: type[Kind]) -> tuple[Kind, ...]:
        """Entries of a kind about the subject itself, oldest first (not those that only mention it)."""
        own = self._own.get(kind)
        if own is None:
            own = self.page.of(kind)
            if kind.mentions:
                own = tuple(entry for entry in own if entry.about == self.subject)
            self._own[kind] = own
        return own  # type: ignore[return-value]

    def last(self, kind: type[Kind]) -> Kind | None:
        """The newest entry of a kind about the subject itself."""
        own = self.own(kind)
        return own[-1] if own else None


def newest(entries: Iterable[Kind]) -> Kind | None:
    """The newest of these entries; None of none."""
    return max(entries, key=lambda entry: entry.key, default=None)
