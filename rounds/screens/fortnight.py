"""The next fourteen days: what comes on which day, to be gone to by key."""

from __future__ import annotations

from collections.abc import Callable
from functools import partial
from typing import ClassVar

from rounds.paper.fortnight import coming_words, fortnight_list
from rounds.screens.board.board import BLANK, Line, Span, fit, line, pressing
from rounds.screens.from_standing import FromStanding
from rounds.screens.prompts.asks import Found, Search, Talk
from rounds.screens.screen import RoundScreen
from rounds.screens.subject_beside import SubjectBeside
from rounds.screens.views.fortnight import Row, row_lines, rows_of, several_lines


class FortnightScreen(RoundScreen):
    """A list of days; Enter opens the page of whom a line is about, `g` goes to its stop."""

    NAME = "fortnight"
    SHARE = 0.55
    FOOTER: ClassVar[tuple[str, ...]] = (
        "coming-open",
        "coming-there",
        "coming-down",
        "coming-page-down",
        "coming-back",
        "help",
    )

    def __init__(self) -> None:
        super().__init__()
        self.at = 0
        self._found = FromStanding[list[Row]]()
        self._beside = SubjectBeside(self)

    def _read(self) -> list[Row]:
        """The rows, reckoned again when the standing or the day has changed."""
        desk, now = self.shift.desk, self.shift.now()
        rows = self._found.of(
            desk.standing,
            now.date(),
            by=lambda: rows_of(fortnight_list(desk.standing, desk.settings, now)),
        )
        self.at = min(self.at, len(rows) - 1)
        return rows

    def whom(self) -> str:
        coming = self._read()[self.at].coming
        return coming[0]["about"] if len(coming) == 1 else super().whom()

    def head(self, width: int) -> list[Line]:
        rows = self._read()
        late = sum(len(row.coming) for row in rows if row.overdue)
        told = f"{late} late" if late else "nothing late"
        left = fit(f" {self.shift.desk.settings.name}   the next fourteen days", max(1, width - len(told) - 3))
        return [line(Span(left, "title"), Span(f"  {told}", "today" if late else "quiet")), BLANK]

    def body(self, width: int, height: int) -> list[Line]:
        rows = self._read()
        room = max(0, height - len(row_lines(rows[self.at], width, True, True)))
        first = max(0, min(self.at - room // 2, len(rows) - 1 - room))
        lines: list[Line] = []
        for place, row in enumerate(rows[first : first + room + 1], first):
            shown = row_lines(row, width, place == self.at, row.first or place == first)
            keys = self.steps("coming-up", "coming-down", place - self.at)
            lines += [pressing(one, *keys) for one in shown]
        return lines[:height]

    def beside(self, width: int, height: int) -> list[Line] | None:
        """Whom the line is about, as it stands now; of several, each with why."""
        row = self._read()[self.at]
        if not row.coming:
            return []
        if len(row.coming) == 1:
            return self._beside.lines(row.coming[0]["about"], width, height)
        return several_lines(row, width)[:height]

    # Keys

    def action_cursor(self, step: int) -> None:
        """Another line."""
        self.at = max(0, min(len(self._read()) - 1, self.at + step))
        self.paint()

    def action_open(self) -> None:
        """The page of whom it is about."""
        self._go(self.app.open_subject)

    def action_go_there(self) -> None:
        """Walk to its stop."""
        self._go(self.app.walk_to)

    def _go(self, there: Callable[[str], None]) -> None:
        coming = self._read()[self.at].coming
        if len(coming) == 1:
            there(coming[0]["about"])
        elif coming:
            self.converse(self._which(self._read()[self.at], there))

    def _which(self, row: Row, there: Callable[[str], None]) -> Talk:
        offered = [Found(coming_words(one), one["about"]) for one in row.coming]
        subject = yield Search(
            f"Which ({row.what})",
            lambda typed: [one for one in offered if typed.strip().casefold() in one.label.casefold()],
        )
        if subject:
            self.then(partial(there, subject))
