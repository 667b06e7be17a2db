"""Find: a line of conditions, and what fulfils them among all that was ever written, newest first."""

from __future__ import annotations

import time
from collections.abc import Iterator
from functools import partial
from typing import ClassVar, Final

from rounds.desk.find import MOST, Found, Step, find
from rounds.desk.subjects import Names
from rounds.errors import BadEntry
from rounds.logbook.conditions import Conditions, in_words
from rounds.logbook.find_words import HOW, conditions
from rounds.paper.said import said
from rounds.paper.subject import called
from rounds.paper.words import time_words
from rounds.screens.board.board import BLANK, Line, Span, fit, line, short, wrap
from rounds.screens.prompts.asks import Talk
from rounds.screens.prompts.words import Words
from rounds.screens.screen import RoundScreen

#: The longest that reading on may keep a key waiting, in s.
SLICE: Final = 0.004
#: Lines that are asked for often, each by its digit.
_READY: Final = ("yesterday", "vet_seen vet_called since -30d")


class FindScreen(RoundScreen):
    """What was found. More of it is read between keys, as the cursor comes near the end."""

    NAME = "find"
    SHARE = 0.55
    FOOTER: ClassVar[tuple[str, ...]] = (
        "found-open",
        "found-down",
        "found-page-down",
        "change",
        "found-back",
        "help",
    )

    def __init__(self) -> None:
        super().__init__()
        #: The line of conditions as it was typed, and what was read.
        self.typed = ""
        self.wanted = Conditions()
        self.found: list[Found] = []
        self.at = 0
        #: The search under way; None before the first one and once all is read.
        self._search: Iterator[Step] | None = None
        self._step = Step([], 0, 1)
        #: So many are read before the cursor asks for more.
        self._most = MOST

    def on_mount(self) -> None:
        """Ask at once."""
        self.action_change()

    # What is asked

    def action_change(self) -> None:
        """Ask for conditions; those of before stand there to be changed."""
        self.converse(self._asking())

    def _asking(self) -> Talk:
        desk = self.shift.desk
        names, today = Names(desk.standing), desk.now().date()
        read = partial(conditions, names=names, today=today, order=desk.settings.date_order)
        ready = [*_READY, f"by {desk.keeper} since -7d"]
        typed = yield _ConditionLine("Find", typed=self.typed, ready=ready, most=200, check=partial(_wrong, read))
        self._begin(typed, read(typed))

    def _begin(self, typed: str, wanted: Conditions) -> None:
        self.typed, self.wanted = typed, wanted
        self.found, self.at, self._most = [], 0, MOST
        self._search, self._step = find(self.shift.desk, wanted), Step([], 0, 1)
        self.set_timer(0.001, self._read_on)

    def broken_off(self) -> None:
        """With nothing found to look at, back to where the keeper came from."""
        if not self.typed:
            self.app.pop_screen()

    # Reading on, between keys

    def _read_on(self) -> None:
        search = self._search
        end = time.perf_counter() + SLICE
        while search is not None and len(self.found) < self._most:
            step = next(search, None)
            if step is None:
                self._search = None
                break
            self._step = step
            self.found += step.found
            if time.perf_counter() >= end:
                self.set_timer(0.001, self._read_on)
                break
        if self.ask is None:
            self.paint()

    # What is shown

    def head(self, width: int) -> list[Line]:
        count = f"{len(self.found)} found"
        if self._search is not None and len(self.found) < self._most:
            count += f", read {100 * self._step.done // max(1, self._step.of)} %"
        elif self._search is not None:
            count += ", more below"
        title = fit(" Find", max(1, width - len(count) - 2))
        return [line(Span(title, "title"), Span(f"  {count if self.typed else ''}", "quiet")), BLANK]

    def body(self, width: int, height: int) -> list[Line]:
        if not self.typed:
            told = f"Names, kinds, days, figures and words in notes, in any order, such as: {HOW}"
            return [line(" ", Span(one, "quiet")) for one in wrap(told, width - 2)]
        asked = in_words(self.wanted, partial(called, self.shift.desk.standing))
        top = [line(" ", Span(one, "name")) for one in wrap(asked, width - 2)[:3]]
        if not self.found:
            return [*top, BLANK, line(" ", Span("Nothing is found yet." if self._search else "Nothing is found."))]
        room = max(1, height - len(top) - 1)
        first = max(0, min(self.at - room // 2, len(self.found) - room))
        rows = enumerate(self.found[first : first + room], first)
        return [*top, BLANK, *(self._row(one, place == self.at, width) for place, one in rows)]

    def beside(self, width: int, height: int) -> list[Line] | None:
        """The entry whole, and how whom it is about stands now."""
        if not self.found:
            return None
        standing, now, entry = self.shift.desk.standing, self.shift.now(), self.found[self.at].entry
        note = f": {entry.note}" if entry.note else ""
        text = f"{time_words(entry.at, now)} {entry.by}  {said(standing, entry)}{note}"
        rows = short(wrap(text, width - 2), max(2, height // 2))
        told = [line(" ", Span(one, "name")) for one in rows]
        return [*told, BLANK, *self.subject_beside.lines(entry.about, width, height - len(told) - 1)]

    def _row(self, one: Found, mark: bool, width: int) -> Line:
        standing, now, entry = self.shift.desk.standing, self.shift.now(), one.entry
        text = f"{called(standing, entry.about)}: {said(standing, entry)}" + (
            f": {entry.note}" if entry.note else ""
        )
        if one.corrected is not None:
            text = f"(corrected {time_words(one.corrected.at, now)} {one.corrected.by}) {text}"
        late = f", written {time_words(entry.written, now)}" if entry.written else ""
        style = "cursor" if mark else "quiet" if one.corrected is not None else ""
        when = Span(fit(f"{time_words(entry.at, now)} {entry.by}", 20), "quiet")
        return line(Span(" > " if mark else "   ", "key"), when, Span(fit(text + late, width - 24), style))

    # Keys

    def action_cursor(self, step: int) -> None:
        """Another entry; near the end more are read."""
        self.at = max(0, min(len(self.found) - 1, self.at + step))
        if self._search is not None and len(self.found) >= self._most and self.at >= len(self.found) - 50:
            self._most += MOST
            self.set_timer(0.001, self._read_on)
        self.paint()

    def action_open(self) -> None:
        """The page of whom the entry is about."""
        if self.found:
            self.app.open_subject(self.found[self.at].entry.about)

    def action_back(self) -> None:
        """Back."""
        self.app.pop_screen()


class _ConditionLine(Words):
    """The line of conditions. Nothing is written by it, and it says so."""

    def in_words(self) -> str:
        return ""

    def lines(self, width: int, height: int) -> list[Line]:
        return [
            tuple(span._replace(text=span.text.replace("Enter writes it", "Enter finds it")) for span in one)
            for one in super().lines(width, height)
        ]


def _wrong(read: partial[Conditions], typed: str) -> str:
    """What cannot be read in the line, in a sentence; empty when all can."""
    try:
        read(typed)
    except BadEntry as error:
        return str(error)
    return ""
