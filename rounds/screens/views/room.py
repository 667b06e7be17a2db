"""The room as lines: the racks as they stand, each enclosure with its word, the one stood at marked. Pure."""

from __future__ import annotations

from collections import deque
from collections.abc import Mapping
from datetime import datetime
from functools import cached_property
from typing import Final

from rich.cells import cell_len

from rounds.due.matter import Level
from rounds.due.room import Cell, Room
from rounds.paper.plain_text import cut, padded, shown
from rounds.paper.room import WORD_WIDE
from rounds.paper.room_plan import Plan, Spot, flowed, one_band
from rounds.paper.words import left_beside, many
from rounds.screens.board.beside import padded_line
from rounds.screens.board.board import BLANK, TO, Line, Span, fit, line, short, wrap
from rounds.screens.views.stop import STYLE_OF_LEVEL, level_word
from rounds.standing.clutch import called
from rounds.standing.enclosure import enclosure
from rounds.standing.fold import Standing

_STYLES: Final = {
    "VET NOW": "vet-now",
    "VET": "vet",
    "TODAY": "today",
    "look": "name",
    "done": "done",
    "due": "",
    "empty": "quiet",
    "": "quiet",
}
#: Words in one sign, where there is no room for them.
SIGNS: Final = {"VET NOW": "N", "VET": "V", "TODAY": "T", "look": "o", "done": "·", "due": "-", "empty": "", "": ""}
LEGEND: Final = "N\xa0vet\xa0now  V\xa0vet  T\xa0today  o\xa0look  -\xa0due  ·\xa0walked"


class Drawing:
    """The room drawn for so much space: laid out once, then painted with the cursor anywhere in it."""

    def __init__(self, room: Room, width: int, height: int) -> None:
        self.room = room
        self.width, self.height = width, height
        self._names = {stop: cell.name for stop, cell in room.cells.items()}
        self.signs = False
        self.scrolls = False
        self.plan = flowed(room.racks, self._names.__getitem__, WORD_WIDE, width)
        if self.plan.lines > height or self.plan.columns > width:
            # Rather every rack from its top than some of them below the edge.
            self.scrolls = True
            self.plan = one_band(room.racks, self._names.__getitem__, WORD_WIDE)
        self.left = self.top = 0
        self._spots: dict[str, tuple[Span, Span, str]] = {}
        self._rows: dict[tuple[int, int], Line] = {}

    @classmethod
    def small(cls, room: Room, width: int, height: int) -> Drawing:
        """The room in little space: in words where they fit, else in signs, else what fits of it."""
        drawn = cls(room, width, height)
        if drawn.scrolls:
            names = drawn._names.__getitem__
            words = flowed(room.racks, names, WORD_WIDE, width, tight=True)
            if words.lines <= height and words.columns <= width:
                drawn.plan, drawn.scrolls = words, False
                return drawn
            signs = flowed(room.racks, names, 1, width, tight=True)
            drawn.signs = True
            drawn.scrolls = signs.lines > height - len(drawn.legend) or signs.columns > width
            drawn.plan = one_band(room.racks, names, 1, tight=True) if drawn.scrolls else signs
        return drawn

    @cached_property
    def legend(self) -> list[Line]:
        """What the signs say."""
        return [line(" ", Span(one, "quiet")) for one in wrap(LEGEND, self.width - 2)[:2]]

    def lines(self, cursor: str) -> list[Line]:
        """The lines, the cursor in sight; racks that do not fit are said at the edges."""
        plan, height = self.plan, self.height - (len(self.legend) if self.signs else 0)
        here = plan.at.get(cursor)
        if not self.scrolls:
            shown_rows = [self._row(y, cursor, 0) for y in range(plan.lines)]
        else:
            room = max(1, height - 1 - 1)
            if here is not None:
                self.top = max(here.y - room, min(self.top, here.y - 1))
                self.left = self._left_of(here)
            self.top = max(0, min(self.top, plan.lines - 1 - room))
            # The racks' names stay; what stands below them moves.
            rows = [0, *range(1 + self.top, min(plan.lines, 1 + self.top + room))]
            shown_rows = [self._row(y, cursor, self.left) for y in rows]
            shown_rows.append(self._more(plan, room))
        if self.signs:
            shown_rows = shown_rows[:height]
            shown_rows += self.legend
        return shown_rows[: self.height]

    def _left_of(self, here: Spot) -> int:
        """The column from which on racks are drawn, the first that begins a rack and shows the cursor's whole."""
        starts = [spot.x for spot in self.plan.spots[0]]
        left = self.left
        if here.x < left:
            left = max((x for x in starts if x <= here.x), default=0)
        while here.x + here.wide > left + self.width:
            ahead = [x for x in starts if x > left and x <= here.x]
            if not ahead:
                return here.x
            left = ahead[0]
        return left

    def _more(self, plan: Plan, room: int) -> Line:
        """What is out of sight, and where."""
        heads = plan.spots[0]
        before = sum(spot.x < self.left for spot in heads)
        behind = sum(spot.x + spot.wide > self.left + self.width for spot in heads)
        below = max(0, plan.lines - 1 - room - self.top)
        told = [
            f"← {before} more" if before else "",
            f"→ {behind} more" if behind else "",
            f"↑ {many(self.top, 'row')}" if self.top else "",
            f"↓ {many(below, 'row')}" if below else "",
        ]
        words = "   ".join(one for one in told if one)
        return line(" ", Span(fit(words, self.width - 1), "quiet")) if words else BLANK

    def _row(self, y: int, cursor: str, left: int) -> Line:
        """A line of it; one without the cursor is made once."""
        here = self.plan.at.get(cursor)
        if here is not None and here.y == y:
            return self._made(y, cursor, left)
        found = self._rows.get((y, left))
        if found is None:
            found = self._rows[y, left] = padded_line(self._made(y, "", left), self.width)
        return found

    def _made(self, y: int, cursor: str, left: int) -> Line:
        row: list[Span] = []
        at = left
        for spot in self.plan.spots[y]:
            if spot.stop is None:
                # A rack of which only some columns are in sight keeps its name above them.
                spot = self._in_sight(spot, left)
            if spot.x < left or (spot.x + spot.wide > left + self.width and spot.x > left):
                continue
            if spot.x > at:
                row.append(Span(" " * (spot.x - at)))
            row += self._spot(spot, spot.stop is not None and spot.stop == cursor)
            at = spot.x + spot.wide
        return tuple(row)

    def _in_sight(self, title: Spot, left: int) -> Spot:
        """The title of a rack, as wide as those of its columns that are drawn whole."""
        ends = title.x + title.wide
        if title.x >= left and ends <= left + self.width:
            return title
        columns = {
            one.x: one.x + one.wide
            for one in self.plan.at.values()
            if title.x <= one.x < ends and left <= one.x and one.x + one.wide <= left + self.width
        }
        if not columns:
            return title
        return title._replace(x=min(columns), wide=max(columns.values()) - min(columns))

    def _spot(self, spot: Spot, mark: bool) -> list[Span]:
        if spot.stop is None:
            return [Span(fit(f" {spot.title}", spot.wide), "title")]
        name, word, behind = self._words(spot)
        to = (TO + spot.stop,)
        lead = Span(">", "key", to) if mark else Span(" ", "", to)
        named = Span(name.text, "cursor" if mark else name.style, to)
        return [lead, named, Span(word.text, word.style, to), Span(behind, "", to)]

    def _words(self, spot: Spot) -> tuple[Span, Span, str]:
        """The name and the word of an enclosure, and the blanks behind; worked out once for the drawing."""
        assert spot.stop is not None
        found = self._spots.get(spot.stop)
        if found is None:
            cell = self.room.cells[spot.stop]
            word = SIGNS[cell.word] if self.signs else cell.word
            walked = "·" if cell.walked and cell.word != "done" else " "
            named = "quiet" if cell.word in ("done", "empty") else "name"
            name = Span(padded(shown(cell.name), spot.name_wide) + walked, named)
            behind = " " * max(0, spot.wide - 2 - spot.name_wide - len(word))
            found = self._spots[spot.stop] = name, Span(word, _STYLES[cell.word]), behind
        return found


def paths(drawn: Drawing, cursor: str, arrows: Mapping[tuple[int, int], str]) -> dict[str, tuple[str, ...]]:
    """The arrows that lead from the cursor to each enclosure that can be in sight with it."""
    plan = drawn.plan
    here = plan.at.get(cursor)
    found: dict[str, tuple[str, ...]] = {cursor: ()}
    waiting = deque([cursor] if here is not None else [])
    while waiting and here is not None:
        stop = waiting.popleft()
        for (right, down), key in arrows.items():
            to = plan.beside(stop, right, down)
            spot = plan.at[to]
            near = abs(spot.x - here.x) <= drawn.width and abs(spot.y - here.y) <= drawn.height
            if to not in found and near:
                found[to] = (*found[stop], key)
                waiting.append(to)
    return found


def cell_lines(
    cell: Cell, standing: Standing, now: datetime, width: int, height: int, rows_each: int = 2
) -> list[Line]:
    """What an enclosure of the room says, in a few lines: who lives there, what presses, what is due."""
    place = enclosure(standing, cell.stop)
    living = [standing.name(who) for who in place.living]
    who = ", ".join(living[:6]) + (f" and {len(living) - 6} more" if len(living) > 6 else "")
    state = "walked" if cell.walked else "not walked"
    name = cut(shown(cell.name), max(8, width // 2))
    parts = short(
        wrap(f"{place.what}, {who or 'no one lives here'}, {state}", width - cell_len(name) - 4), rows_each
    )
    rows: list[Line] = [line(" ", Span(name, "name"), f"  {parts[0]}")]
    rows += [line(" " * (cell_len(name) + 3), one) for one in parts[1:]]
    for matter in cell.matters:
        left = left_beside(matter.says, matter.deadline, now)
        text = f"{matter.says} ({left})" if left else matter.says
        style = STYLE_OF_LEVEL[matter.level]
        for row, part in enumerate(short(wrap(text, width - 11), rows_each)):
            head = f"{level_word(matter.level):<8}" if row == 0 else " " * 8
            rows.append(line(" ", Span(head, style), Span(part, style if matter.level >= Level.TODAY else "")))
    due = [
        f"{one.care} {called(standing, one.about)}" if one.about != cell.stop else one.care for one in cell.looks
    ]
    due += [one.care for one in cell.due if one not in cell.looks]
    if due:
        text = ", ".join(dict.fromkeys(due))
        rows += [
            line(" ", Span("due     " if not row else " " * 8, "quiet"), part)
            for row, part in enumerate(short(wrap(text, width - 11), rows_each))
        ]
    return rows if len(rows) <= height else [*rows[: height - 1], line(" ", Span("… its page tells all", "quiet"))]
