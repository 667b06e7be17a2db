"""The season: females down, weeks across; what was seen, what comes next, egg boxes with hatch windows."""

from __future__ import annotations

from datetime import date
from typing import ClassVar, Final

from rounds.due.matter import Level
from rounds.due.season import Row, season
from rounds.paper.plain_text import cut, shown
from rounds.paper.season import BEFORE, WORDS, columns, drawn_of, drawn_words, legend, monday, said, weeks_later
from rounds.paper.timescale import Timescale
from rounds.paper.words import many
from rounds.screens.board.beside import widths
from rounds.screens.board.board import BLANK, Line, Span, fit, line, pressing, short, wrap
from rounds.screens.from_standing import FromStanding
from rounds.screens.keys.screens import BY_ID
from rounds.screens.screen import RoundScreen
from rounds.screens.views.stop import STYLE_OF_LEVEL

#: Weeks from today on that stand on the narrowest screen.
_AHEAD: Final = 5


def _columns(width: int) -> tuple[int, int, int]:
    """How wide the name, the place and the words are."""
    return (10, 4, WORDS) if width < 100 else (14, 6, 30)


class SeasonScreen(RoundScreen):
    """Every female and every clutch on one timeline."""

    NAME = "season"
    SHARE = 0.62
    FOOTER: ClassVar[tuple[str, ...]] = (
        "season-open",
        "season-later",
        "season-earlier",
        "season-today",
        "season-there",
        "season-back",
        "help",
    )

    def __init__(self) -> None:
        super().__init__()
        self.chosen = ""
        #: The first line that is shown, and by how many weeks the keeper moved the timeline.
        self.first = self.moved = 0
        self._rows = FromStanding[tuple[Row, ...]]()

    def whom(self) -> str:
        row = self._row()
        return row.subject if row is not None else super().whom()

    def _all(self) -> tuple[Row, ...]:
        """The lines, worked out again when anything was written or the day has turned."""
        desk, now, matters = self.shift.desk, self.shift.now(), self.shift.all_matters
        return self._rows.of(
            desk.standing,
            matters,
            now.date(),
            by=lambda: season(desk.standing, desk.house, now, matters, desk.settings.walking_order),
        )

    def _row(self) -> Row | None:
        rows = self._all()
        found = next((row for row in rows if row.subject == self.chosen), rows[0] if rows else None)
        self.chosen = found.subject if found is not None else ""
        return found

    def _place(self, rows: tuple[Row, ...]) -> int:
        """The place of the line selected; the first where that is gone."""
        chosen = self._row()
        return next((place for place, row in enumerate(rows) if chosen and row.subject == chosen.subject), 0)

    def _begins(self) -> date:
        return weeks_later(monday(self.shift.now().date(), -BEFORE), self.moved)

    def head(self, width: int) -> list[Line]:
        rows = self._all()
        females = sum(row.dam is None for row in rows)
        at = f"{self._place(rows) + 1} of {len(rows)} " if rows else ""
        right = f"{many(females, 'female')}, {many(len(rows) - females, 'clutch', 'clutches')} of eggs   {at}"
        left, pane = widths(width, self.SHARE)
        drawn = left if pane and rows else width
        title = f" {self.shift.desk.settings.name}   {drawn_words(self._scale(drawn))}"
        if len(title) + len(right) + 3 > width:
            # It says that there is more below, and how much.
            right = at
        room = max(1, width - len(right) - 2)
        if len(title) > room:
            title = title.partition(",")[0]
        return [line(Span(fit(title, room), "title"), Span(f"  {right}", "quiet")), BLANK]

    def _scale(self, width: int) -> Timescale:
        """The weeks that are drawn, in the cells that names, places and words leave."""
        wide_name, wide_place, words = _columns(width)
        cells = max(8, width - wide_name - wide_place - words - 4)
        return Timescale.at_least(self._begins(), BEFORE + _AHEAD, cells)

    def body(self, width: int, height: int) -> list[Line]:
        rows, chosen, now = self._all(), self._row(), self.shift.now().date()
        if chosen is None:
            return [line(" ", Span("No female is registered, and no eggs incubate.", "quiet"))]
        wide_name, wide_place, words = _columns(width)
        scale = self._scale(width)
        lead = " " * (wide_name + wide_place + 3)
        below = [line(" ", Span(one, "quiet")) for one in legend(width - 2)] if height >= 12 else []
        room = max(1, height - 2 - len(below))
        at = self._place(rows)
        self.first = max(at - room + 1, min(self.first, at))
        self.first = max(0, min(self.first, len(rows) - room))
        told = [
            line(lead, Span(scale.months(), "title")),
            line(lead, Span(scale.today(now), "quiet")),
        ]
        standing = self.shift.desk.standing
        for place, row in enumerate(rows[self.first : self.first + room], self.first):
            name, where = columns(
                row.name,
                [standing.name(one) for one in row.boxes or (row.place,) if one],
                wide_name,
                wide_place,
                clutch=row.dam is not None,
            )
            mark = place == at
            level, says, rule = Level.WATCH, "", ""
            if row.matter is not None:
                level, says, rule = row.matter.level, row.matter.says, row.matter.rule
            told_of = said(level.word, row.says, says, row.name, rule, words, comes=row.comes is not None)
            style = STYLE_OF_LEVEL[level] if level >= Level.TODAY else ""
            keys = self.steps("season-up", "season-down", place - at) or self.key_map.keys(BY_ID["season-open"])[:1]
            one = line(
                Span(">" if mark else " ", "key"),
                Span(name, "cursor" if mark else "name" if row.dam is None else "quiet"),
                Span(where, "quiet"),
                " ",
                Span(scale.row(drawn_of(row), now)),
                " ",
                Span(cut(shown(told_of), words), style),
            )
            told.append(pressing(one, *keys))
        told += [BLANK] * (height - len(below) - len(told))
        return [*told, *below]

    def beside(self, width: int, height: int) -> list[Line] | None:
        row = self._row()
        if row is None:
            return None
        says = row.why if row.why.startswith(row.says) else f"{row.says}: {row.why}" if row.why else row.says
        why = [line(" ", Span(one, "name")) for one in short(wrap(says, width - 2), 2)]
        return [*why, BLANK, *self.subject_beside.lines(row.subject, width, height - 1 - len(why))]

    def footer(self) -> tuple[str, ...]:
        """Where nothing stands here, only keys that do something."""
        return self.FOOTER if self._row() is not None else ("season-back", "help")

    # Keys

    def action_cursor(self, step: int) -> None:
        """Another line."""
        rows = self._all()
        if self._row() is not None:
            at = self._place(rows)
            self.chosen = rows[max(0, min(len(rows) - 1, at + step))].subject
        self.paint()

    def action_weeks(self, step: int) -> None:
        """The timeline so many weeks later, or earlier."""
        self.moved = max(-5200, min(5200, self.moved + step))
        self.paint()

    def action_today(self) -> None:
        """Back to this week."""
        self.moved = 0
        self.paint()

    def action_open(self) -> None:
        """The page of the female, or of the clutch."""
        if (row := self._row()) is not None:
            self.app.open_subject(row.subject)

    def action_go_there(self) -> None:
        """Walk to the stop where she is."""
        if (row := self._row()) is not None:
            self.app.walk_to(row.subject)
