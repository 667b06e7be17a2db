"""A subject beside a list: how it stands, its weights, what needs attention and its newest entries."""

from __future__ import annotations

from typing import Protocol

from rounds.desk.shift import Shift
from rounds.screens.board.board import BLANK, Line, Span, fit, line
from rounds.screens.from_standing import FromStanding
from rounds.screens.views.stop import matter_lines
from rounds.screens.views.subject import entry_line, subject_head
from rounds.standing.clutch import called

#: So many of its entries are looked through for the season's line.
_NEWEST = 200


class Lists(Protocol):
    """The screen with the list."""

    @property
    def shift(self) -> Shift:
        """The shift under way."""


class SubjectBeside:
    """What is shown of the subject a cursor is on; laid out again only when it changed."""

    def __init__(self, screen: Lists) -> None:
        self._screen = screen
        self._lines = FromStanding[list[Line]]()

    def lines(self, subject: str, width: int, height: int) -> list[Line]:
        """The subject in so many cells and lines."""
        shift = self._screen.shift
        minute = shift.now().replace(second=0, microsecond=0)
        return self._lines.of(
            shift.desk.standing,
            *(subject, shift.reckoned_at, minute, width, height),
            by=lambda: self._laid_out(subject, width, height),
        )

    def _laid_out(self, subject: str, width: int, height: int) -> list[Line]:
        shift = self._screen.shift
        desk, now = shift.desk, shift.now()
        newest = desk.standing.page(subject).newest(_NEWEST)
        entries = sorted(newest, key=lambda entry: entry.key, reverse=True)
        place = desk.standing.places.get(subject)
        where = f"   lives in {desk.standing.name(place)}" if place else ""
        shown = [line(Span(fit(f" {called(desk.standing, subject)}{where}", width), "title")), BLANK]
        matters = [one for one in shift.matters_about([subject]) if one.put_off is None]
        if matters:
            shown += [*matter_lines(matters, now, width, 6), BLANK]
        shown += subject_head(desk.standing, desk.house, now, subject, entries, width)
        shown.append(BLANK)
        for entry in entries[: max(0, height - len(shown))]:
            shown.append(entry_line(desk.standing, now, subject, entry, None, width, False))
        return shown[:height]
