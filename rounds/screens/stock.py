"""What came in and what went out, per clutch and in a season or a calendar year, with sums."""

from __future__ import annotations

from typing import ClassVar

from rounds.paper.stock import calendar_year, season_days, stock, stock_text, sum_words
from rounds.screens.board.board import BLANK, Line, Span, fit, line, sheet_lines
from rounds.screens.from_standing import FromStanding
from rounds.screens.screen import RoundScreen
from rounds.standing.as_of import as_of
from rounds.standing.colony_seasons import ColonySeason, colony_seasons


class StockScreen(RoundScreen):
    """A page to be read; one key goes from seasons to calendar years, two go to the one before and after."""

    NAME = "stock"
    FOOTER: ClassVar[tuple[str, ...]] = (
        "stock-earlier",
        "stock-later",
        "stock-years",
        "stock-down",
        "stock-page-down",
        "stock-back",
        "help",
    )

    def __init__(self) -> None:
        super().__init__()
        #: So many seasons or years before that of now.
        self.back = 0
        self.by_seasons = True
        self._seasons = FromStanding[tuple[ColonySeason, ...]]()
        self._found = FromStanding[tuple[str, str, str]]()

    def _read(self) -> tuple[str, str, str]:
        """What the days are called, the page, its sum; reckoned again when anything was written, or next day."""
        desk, now = self.shift.desk, self.shift.now()
        house = desk.house
        seasons = self._seasons.of(
            desk.standing,
            now.date(),
            by=lambda: colony_seasons(as_of(desk.standing, now), now, house.year_days, house.zone),
        )
        if not seasons:
            self.by_seasons = False
        self.back = max(0, min(self.back, len(seasons) - 1 if self.by_seasons else now.year - 1900))

        def page() -> tuple[str, str, str]:
            if self.by_seasons:
                season = seasons[-1 - self.back]
                name = season.called
                found = stock(desk.standing, desk.settings, now, *season_days(season, now.date()), name)
                return f"season {name}", stock_text(found, now), sum_words(found)
            year = now.year - self.back
            found = stock(desk.standing, desk.settings, now, *calendar_year(year))
            return str(year), stock_text(found, now), sum_words(found)

        return self._found.of(desk.standing, now.date(), self.by_seasons, self.back, by=page)

    def head(self, width: int) -> list[Line]:
        name = self.shift.desk.settings.name
        days, _, adds = self._read()
        # The sum stands below every clutch on the page, so it is told here too where it has room.
        title = f" {name}   in and out, {days}"
        right = f"  {adds} " if len(title) + len(adds) + 3 <= width else ""
        return [line(Span(fit(title, width - len(right)), "title"), Span(right, "quiet")), BLANK]

    def body(self, width: int, height: int) -> list[Line]:
        # The name and its rule, with a blank row, stand in the head already.
        lines = [line(one) for one in sheet_lines(self._read()[1], width)][3:]
        return self.window(lines, height)

    def action_turn(self, step: int) -> None:
        """Go to an earlier or later season or year."""
        self.back += -step
        self.top = 0
        self.paint()

    def action_years(self) -> None:
        """From seasons to calendar years, or back."""
        self.by_seasons, self.back, self.top = not self.by_seasons, 0, 0
        wanted = self.by_seasons
        self._read()
        if wanted != self.by_seasons:
            self.say("No season is known yet: it goes from waking to waking, else from clutch to clutch.", "quiet")
        self.paint()
