"""The room beside a stop: drawn once for as long as nothing changes, with the stop stood at marked."""

from __future__ import annotations

from typing import Protocol

from rounds.desk.shift import Shift
from rounds.screens.board.board import BLANK, Line, Span, fit, line
from rounds.screens.views.room import Drawing


class Stands(Protocol):
    """The screen the room stands beside."""

    @property
    def shift(self) -> Shift:
        """The shift under way."""


class RoomBeside:
    """The compact room, and what is kept of it between two keys."""

    def __init__(self, screen: Stands) -> None:
        self._screen = screen
        self._drawing: Drawing | None = None
        self._lines: tuple[Drawing, str | None, list[Line]] | None = None

    def lines(self, stop: str | None, width: int, height: int) -> list[Line] | None:
        """The room in so many cells and lines; None before the first enclosure is set up."""
        room = self._screen.shift.room()
        if not room.cells or height < 4:
            return None
        drawn = self._drawing
        if drawn is None or drawn.room is not room or (drawn.width, drawn.height) != (width, height - 2):
            self._drawing = drawn = Drawing.small(room, width, height - 2)
        if self._lines is None or self._lines[0] is not drawn or self._lines[1] != stop:
            self._lines = drawn, stop, self._laid_out(drawn, stop, width)
        return self._lines[2]

    def _laid_out(self, drawn: Drawing, stop: str | None, width: int) -> list[Line]:
        walked = sum(cell.walked for cell in drawn.room.cells.values())
        head = line(Span(fit(f" the room   {walked} of {len(drawn.room.cells)} walked", width), "quiet"))
        return [head, BLANK, *drawn.lines(stop or "")]
