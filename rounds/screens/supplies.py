"""Supplies: what is left, how long it lasts, what to order; counted where the cursor stands."""

from __future__ import annotations

from typing import ClassVar

from rounds.paper.supplies import supply_list
from rounds.paper.values import Values
from rounds.screens.board.board import BLANK, Line, Span, fit, line, pressing
from rounds.screens.from_standing import FromStanding
from rounds.screens.record import stock
from rounds.screens.record.taking_back import take_back_last
from rounds.screens.screen import RoundScreen
from rounds.screens.subject_beside import SubjectBeside
from rounds.screens.views.supplies import heading, nothing_lines, order_lines, supply_detail, supply_row


class SuppliesScreen(RoundScreen):
    """The list, those that run out first at its head; a digit begins a count of the one selected."""

    NAME = "supplies"
    SHARE = 0.6
    FOOTER: ClassVar[tuple[str, ...]] = (
        "supply-count",
        "supply-in",
        "supply-new",
        "supply-page",
        "supply-down",
        "supply-take-back",
        "supply-back",
        "help",
    )

    def __init__(self) -> None:
        super().__init__()
        #: The supply the cursor is on; it stays on it when the order changes.
        self.chosen = ""
        self._found = FromStanding[Values]()
        self._beside = SubjectBeside(self)

    def whom(self) -> str:
        return self.chosen or super().whom()

    def _read(self) -> Values:
        """The supplies, reckoned again when the standing or the day has changed."""
        desk, now = self.shift.desk, self.shift.now()
        found = self._found.of(desk.standing, now.date(), by=lambda: supply_list(desk.standing, desk.settings, now))
        every = [one["supply"] for one in found["supplies"]]
        if every and self.chosen not in every:
            if self.chosen:
                self.say_gone(f"{self.shift.desk.standing.name(self.chosen)} is here no more.")
            self.chosen = every[0]
        return found

    @property
    def stands_at(self) -> object:
        return self.chosen

    def head(self, width: int) -> list[Line]:
        found = self._read()
        order = found["order"]
        told = f"{len(order)} to order" if order else "nothing to order"
        name = self.shift.desk.settings.name
        left = fit(f" {name}   supplies", max(1, width - len(told) - 3))
        return [line(Span(left, "title"), Span(f"  {told}", "today" if order else "quiet")), BLANK]

    def body(self, width: int, height: int) -> list[Line]:
        found, now = self._read(), self.shift.now()
        every = found["supplies"]
        if not every:
            return nothing_lines(width)
        at = self._at(every)
        below = [BLANK, *supply_detail(every[at], now, width), BLANK, *order_lines(found["order"], width)]
        below = below[: max(2, height // 2)]
        room = max(1, height - len(below) - 1)
        first = max(0, min(at - room // 2, len(every) - room))
        rows = [heading(width)]
        for place, one in enumerate(every[first : first + room], first):
            keys = self.steps("supply-up", "supply-down", place - at)
            rows.append(pressing(supply_row(one, now, width, place == at), *keys))
        return [*rows, *below]

    def beside(self, width: int, height: int) -> list[Line] | None:
        """The page of the supply selected: its counts, and what came in."""
        return self._beside.lines(self.chosen, width, height) if self._read()["supplies"] else None

    def _at(self, every: list[Values]) -> int:
        return next(place for place, one in enumerate(every) if one["supply"] == self.chosen)

    def footer(self) -> tuple[str, ...]:
        """Where nothing stands here, only keys that do something."""
        return self.FOOTER if self._read()["supplies"] else ("supply-new", "supply-back", "help")

    # Keys

    def action_cursor(self, step: int) -> None:
        """Another supply."""
        every = self._read()["supplies"]
        if every:
            at = max(0, min(len(every) - 1, self._at(every) + step))
            self.chosen = every[at]["supply"]
        self.paint()

    def action_digit(self, digit: str) -> None:
        """Count the supply selected."""
        if self._read()["supplies"]:
            self.converse(stock.count(self, self.chosen, digit))
        else:
            self.action_begin()

    def action_came_in(self) -> None:
        """Write what came in."""
        if self._read()["supplies"]:
            self.converse(stock.came_in(self, self.chosen))
        else:
            self.action_begin()

    def action_begin(self) -> None:
        """Another supply."""
        self.converse(stock.begin(self))

    def action_take_back(self) -> None:
        """Take back what was saved last."""
        take_back_last(self)

    def action_open(self) -> None:
        """The page of the supply."""
        if self._read()["supplies"]:
            self.app.open_subject(self.chosen)
