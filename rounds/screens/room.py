"""The room: the racks as they stand, one cell an enclosure; from any of them to its stop or its page."""

from __future__ import annotations

from typing import ClassVar

from rich.cells import cell_len

from rounds.due.room import Cell, Room
from rounds.paper.plain_text import shown
from rounds.paper.room import LEGEND
from rounds.paper.words import many
from rounds.screens.board.board import BLANK, Line, Span, fit, line, wrap
from rounds.screens.keys.screens import BY_ID
from rounds.screens.screen import RoundScreen
from rounds.screens.views.room import Drawing, cell_lines, paths
from rounds.screens.views.walk import before_the_first

#: Lines kept below the racks for the enclosure selected, on a small screen.
_BELOW = 5


class RoomScreen(RoundScreen):
    """Every enclosure at a glance. `cursor` is the one selected."""

    NAME = "room"
    SHARE = 0.68
    FOOTER: ClassVar[tuple[str, ...]] = (
        "room-walk",
        "room-page",
        "room-next",
        "room-down",
        "room-back",
        "attention",
        "help",
    )

    def __init__(self, stop: str = "") -> None:
        super().__init__()
        self.cursor = stop
        self._drawn: Drawing | None = None

    def on_mount(self) -> None:
        """Every matter is wanted."""
        self.shift.counts()

    def whom(self) -> str:
        return self.cursor or super().whom()

    def _room(self) -> Room:
        room = self.shift.room()
        if self.cursor not in room.cells:
            walk, here = self.shift.walk(), self.app.walk_stop
            self.cursor = (
                (here if here in room.cells else "")
                or walk.resume_for(self.shift.desk.keeper or None)
                or next(iter(room.cells), "")
            )
        return room

    def _cell(self) -> Cell | None:
        return self._room().cells.get(self.cursor)

    def _drawing(self, width: int, height: int) -> Drawing:
        room, drawn = self._room(), self._drawn
        if drawn is None or drawn.room is not room or (drawn.width, drawn.height) != (width, height):
            before = drawn
            self._drawn = drawn = Drawing(room, width, height)
            if before is not None:
                drawn.left, drawn.top = before.left, before.top
        return drawn

    def head(self, width: int) -> list[Line]:
        walk, room = self.shift.walk(), self._room()
        done, of = walk.progress
        words = [cell.word for cell in room.cells.values()]
        counted = "   ".join(
            f"{words.count(word)} {word}" for word in ("VET NOW", "VET", "TODAY", "look") if word in words
        )
        right = f"{done} of {many(of, 'stop')} done "
        name, part = self.shift.desk.settings.name, self.shift.part
        tries = (
            f" {name}   the room   {part} walk   {counted}",
            f" the room   {part} walk   {counted}",
            f" the room   {counted}",
        )
        space = max(1, width - len(right) - 2)
        title = next((one for one in tries if cell_len(shown(one)) <= space), tries[-1])
        return [line(Span(fit(title, space), "title"), f"  {right}"), BLANK]

    def body(self, width: int, height: int) -> list[Line]:
        room = self._room()
        if not room.cells:
            return before_the_first(self.label, width)
        wide = self.board.size.width != width  # what is selected stands beside the racks
        below = 0 if wide or height < 10 else min(_BELOW, height // 3)
        drawn = self._drawing(width, height - below)
        rows = drawn.lines(self.cursor)
        if below and (cell := self._cell()) is not None:
            rows += [BLANK] * (height - below - len(rows))
            rows += [BLANK, *cell_lines(cell, self.shift.desk.standing, self.shift.now(), width, below - 1)]
        return rows

    def beside(self, width: int, height: int) -> list[Line] | None:
        cell = self._cell()
        if cell is None:
            return None
        told = cell_lines(cell, self.shift.desk.standing, self.shift.now(), width, height - 4, 8)
        return [*told, BLANK, *(line(" ", Span(one, "quiet")) for one in wrap(LEGEND, width - 2))]

    def ways_to(self, subject: str) -> tuple[str, ...]:
        """The arrows that lead to an enclosure; to the one selected, the key that walks there."""
        if subject == self.cursor or self._drawn is None:
            return self.key_map.keys(BY_ID["room-walk"])[:1]
        return paths(self._drawn, self.cursor, self._arrows()).get(subject, ())

    def _arrows(self) -> dict[tuple[int, int], str]:
        ids = {(0, -1): "room-up", (0, 1): "room-down", (-1, 0): "room-left", (1, 0): "room-right"}
        return {way: self.key_map.keys(BY_ID[id])[0] for way, id in ids.items()}

    # Keys

    def action_cursor(self, right: int, down: int) -> None:
        """The enclosure beside it."""
        if self._room().cells and self._drawn is not None:
            plan = self._drawn.plan
            for _ in range(max(abs(right), abs(down))):
                self.cursor = plan.beside(self.cursor, (right > 0) - (right < 0), (down > 0) - (down < 0))
        self.paint()

    def action_next(self) -> None:
        """The next one that needs something, in walking order."""
        cells = self._room().cells
        stops = [*cells]
        if not stops:
            return
        at = stops.index(self.cursor)
        ahead = (*stops[at + 1 :], *stops[: at + 1])
        pressing = [stop for stop in ahead if cells[stop].word in ("VET NOW", "VET", "TODAY", "look")]
        if pressing:
            self.cursor = pressing[0]
        elif due := [stop for stop in ahead if cells[stop].word == "due"]:
            self.cursor = due[0]
        else:
            self.say("Nothing is due in the room.", "good")
            return
        self.paint()

    def action_open(self) -> None:
        """Walk to the stop."""
        if self._cell() is not None:
            self.app.walk_to(self.cursor)

    def action_page(self) -> None:
        """The page of the enclosure."""
        if self._cell() is not None:
            self.app.open_subject(self.cursor)
