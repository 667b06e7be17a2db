"""Incubator: the shelves one after the other, their temperatures, their boxes, and when each clutch hatches."""

from __future__ import annotations

import os
from collections.abc import Sequence
from functools import partial
from typing import ClassVar, Final, TypeAlias

from rounds.logbook.entries import ROOM
from rounds.paper.incubator import incubator
from rounds.paper.values import Values
from rounds.screens.board.board import BLANK, Line, Span, fit, line
from rounds.screens.from_standing import FromStanding
from rounds.screens.keys.screens import BY_ID
from rounds.screens.prompts.asks import Talk
from rounds.screens.prompts.choices import Choice, Option
from rounds.screens.record import quick
from rounds.screens.record.egg_boxes import weigh_box
from rounds.screens.record.logger import logger
from rounds.screens.screen import RoundScreen
from rounds.screens.views.incubator import clutch_lines, shelf_lines
from rounds.standing.clutch import called
from rounds.standing.egg_boxes import boxes_at

#: Terminals whose letters lack most of the blocks.
_NO_BLOCKS: Final = frozenset(("linux", "vt100", "vt102", "vt220", "dumb"))


#: A row: the shelf, the clutch on it and where it lies; each empty where there is none.
_Key: TypeAlias = tuple[str, str, str]


def _key(shelf: Values | None, eggs: Values | None) -> _Key:
    return (
        shelf["shelf"] if shelf is not None else "",
        eggs["clutch"] if eggs is not None else "",
        (eggs["place"] or "") if eggs is not None else "",
    )


class IncubatorScreen(RoundScreen):
    """A cursor over shelves and their clutches."""

    NAME = "incubator"
    SHOWS_WHOM = True
    SHARE = 0.6
    FOOTER: ClassVar[tuple[str, ...]] = (
        "shelf-read",
        "logger",
        "shelf-down",
        "shelf-after",
        "shelf-open",
        "box-weight",
        "shelf-box",
        "shelf-there",
        "shelf-back",
        "help",
    )

    def __init__(self) -> None:
        super().__init__()
        #: The row of the cursor, counted over all shelves and their clutches; and the shelf, clutch and box there.
        self.at = 0
        self._chosen: _Key | None = None
        self._first = 0
        self._found = FromStanding[Values]()

    def _values(self) -> Values:
        """The incubator, worked out again when the standing or the minute has changed."""
        desk, now = self.shift.desk, self.shift.now()
        minute = now.replace(second=0, microsecond=0)
        return self._found.of(desk.standing, minute, by=lambda: incubator(desk.standing, desk.settings, now))

    def _rows(self) -> list[tuple[Values | None, Values | None]]:
        """What the cursor goes over: each shelf, then its clutches; last the clutches on no shelf."""
        found = self._values()
        rows: list[tuple[Values | None, Values | None]] = []
        for shelf in found["shelves"]:
            rows.append((shelf, None))
            rows += [(shelf, one) for one in shelf["clutches"]]
        rows += [(None, one) for one in found["elsewhere"]]
        self._keep_to_it([_key(*row) for row in rows])
        return rows

    def _keep_to_it(self, keys: Sequence[_Key]) -> None:
        """Stay on the row chosen, wherever it is now: another desk puts no other box under the cursor."""
        chosen = self._chosen
        if chosen is not None and chosen not in keys:
            moved = [key for key in keys if key[1] and key[1:] == chosen[1:]]
            if not moved:
                self.say_gone(f"{called(self.shift.desk.standing, chosen[1] or chosen[0])} is here no more.")
            chosen = moved[0] if moved else None
        at = keys.index(chosen) if chosen is not None else self.at
        self.at = max(0, min(at, len(keys) - 1))
        self._chosen = keys[self.at] if keys else None

    def _select(self, at: int) -> None:
        self._chosen, self.at = None, at

    def _here(self) -> tuple[Values | None, Values | None]:
        rows = self._rows()
        return rows[self.at] if rows else (None, None)

    def whom(self) -> str:
        shelf, eggs = self._here()
        found: str = eggs["clutch"] if eggs is not None else shelf["shelf"] if shelf is not None else ROOM
        return found

    # What is shown

    def head(self, width: int) -> list[Line]:
        found = self._values()
        rows = self._rows()
        eggs = sum(one["eggs"] or 0 for shelf in found["shelves"] for one in shelf["clutches"])
        many = len(found["shelves"])
        told = f"{many} {'shelf' if many == 1 else 'shelves'}   {eggs} eggs"
        at = f"  {self.at + 1} of {len(rows)} " if rows else ""
        title = fit(f" {found['colony']}   incubator   {told}", max(1, width - len(at)))
        return [line(Span(title, "title"), Span(at, "quiet")), BLANK]

    def body(self, width: int, height: int) -> list[Line]:
        found, rows = self._values(), self._rows()
        if not rows:
            return [line(" No shelf is set up and no eggs are to hatch. F2 sets up an incubator shelf.")]
        lines, cursor = self._lines(found, rows, width, draw="all")
        if len(lines) > height:
            lines, cursor = self._lines(found, rows, width, draw="this")
        # The shelf of the cursor stays in sight, its clutches too as far as there is room.
        self._first = max(0, min(self._first, cursor, len(lines) - height))
        self._first = max(self._first, min(cursor - height + 3, len(lines) - height))
        return lines[max(0, self._first) :][:height]

    def _lines(
        self, found: Values, rows: list[tuple[Values | None, Values | None]], width: int, draw: str
    ) -> tuple[list[Line], int]:
        """All lines, and the one that the cursor is on."""
        plain = os.environ.get("TERM", "") in _NO_BLOCKS or not self.app.console.encoding.startswith("utf")
        now, lines, row, cursor = self.shift.now(), list[Line](), 0, 0
        here = self._here()[0]
        for shelf in found["shelves"]:
            many = len(shelf["clutches"])
            at = self.at - row if row <= self.at <= row + many else None
            drawn = draw == "all" or shelf is here
            keys = partial(self._keys_to, row)
            shown = shelf_lines(shelf, found, now, width, at=at, draw=drawn, plain=plain, keys=keys)
            if at is not None:
                cursor = len(lines) + _marked(shown)
            lines += [*shown, BLANK]
            row += 1 + many
        if found["elsewhere"]:
            at = self.at - row + 1 if self.at >= row else None
            lines.append(line(" ", Span("on no shelf", "name")))
            if at is not None:
                cursor = len(lines) + at
            lines += clutch_lines(found["elsewhere"], now, width, at, partial(self._keys_to, row - 1))
        return lines, cursor

    def _keys_to(self, first: int, place: int) -> tuple[str, ...]:
        """What a click on a row presses: the way there; on the row of the cursor, its page."""
        away = first + place - self.at
        return self.steps("shelf-up", "shelf-down", away) or self.key_map.keys(BY_ID["shelf-open"])[:1]

    def footer(self) -> tuple[str, ...]:
        """Where nothing stands here, only keys that do something."""
        return self.FOOTER if self._rows() else ("shelf-back", "help")

    # Keys

    def action_cursor(self, step: int) -> None:
        """Another shelf or clutch."""
        self._rows()
        self._select(self.at + step)
        self.paint()

    def action_shelf(self, step: int) -> None:
        """Another shelf."""
        starts = [place for place, (_, eggs) in enumerate(self._rows()) if eggs is None]
        ahead = [place for place in starts if (place > self.at if step > 0 else place < self.at)]
        if ahead:
            self._select(ahead[0] if step > 0 else ahead[-1])
        self.paint()

    def action_climate(self) -> None:
        """Read the shelf by hand."""
        shelf, _ = self._here()
        if shelf is not None:
            self.converse(quick.climate(self, shelf["shelf"]))
        else:
            self.say("Select a shelf first: ↑.", "quiet")

    def action_logger(self) -> None:
        """Read a logger's file onto the shelf; on an egg box's row it is asked whether it lay inside the box."""
        shelf, eggs = self._here()
        if shelf is None:
            self.say("Select a shelf first: ↑.", "quiet")
        elif eggs is None or eggs["place"] in (None, shelf["shelf"]):
            self.converse(logger(self, shelf["shelf"]))
        else:
            self.converse(self._logger_of(shelf, eggs))

    def _logger_of(self, shelf: Values, eggs: Values) -> Talk:
        on_it = Option("s", f"on {shelf['name']}", shelf["shelf"])
        place = yield Choice("The logger lay", [on_it, Option("i", f"inside {eggs['place_name']}", eggs["place"])])
        yield from logger(self, place)

    def action_digit(self, digit: str) -> None:
        """The weight of the egg box selected."""
        _, eggs = self._here()
        desk = self.shift.desk
        boxes = boxes_at(desk.standing, eggs["place"], desk.house.egg_figures) if eggs and eggs["place"] else ()
        box = next((one for one in boxes if one.of_clutch in (None, eggs["clutch"] if eggs else "")), None)
        if box is None:
            self.say("Select an egg box first: ↓.", "today")
        else:
            self.converse(weigh_box(self, box, digit))

    def action_open(self) -> None:
        """The page of the clutch or shelf."""
        if self._rows():
            self.app.open_subject(self.whom())

    def action_box(self) -> None:
        """The page of the egg box."""
        _, eggs = self._here()
        if eggs is not None and eggs["place"]:
            self.app.open_subject(eggs["place"])
        else:
            self.say("Select a clutch first: ↓.", "quiet")

    def action_go_there(self) -> None:
        """Walk to the box, or to the shelf."""
        shelf, eggs = self._here()
        place = eggs["place"] if eggs is not None else shelf["shelf"] if shelf is not None else None
        if place:
            self.app.walk_to(place)

    def action_back(self) -> None:
        """Back."""
        self.app.pop_screen()


def _marked(lines: Sequence[Line]) -> int:
    """The line that the cursor is on."""
    return next((place for place, one in enumerate(lines) if any(span.text == " > " for span in one)), 0)
