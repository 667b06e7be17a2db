"""Days drawn as cells of a line: months above, today below, and what happened when in signs and words. Pure."""

from __future__ import annotations

from collections.abc import Iterable
from datetime import date
from typing import Final, NamedTuple

#: What the signs say, in the order of a year.
LEGEND: Final = (
    "z brumation",
    "- with a male",
    "m mated",
    "[=] may lay",
    ". digging",
    "L laid, eggs",
    "~ in the incubator",
    "[hh] hatches",
    "* likeliest",
    "H hatched",
    "^ today",
)
_MONTHS: Final = ("Jan", "Feb", "Mar", "Apr", "May", "Jun", "Jul", "Aug", "Sep", "Oct", "Nov", "Dec")
#: Half days to a cell: half a week, a week, two, four.
_HALF_DAYS: Final = (7, 14, 28, 56)
#: What is drawn first; what comes later stands above it.
_ORDER: Final = (
    "brumation",
    "together",
    "window",
    "incubating",
    "hatches",
    "digging",
    "likely",
    "mated",
    "laid",
    "hatched",
)


class Drawn(NamedTuple):
    """Something to draw: its word, its first and last day, and a number of eggs or young."""

    what: str
    first: date
    last: date
    number: int = 0


class Timescale:
    """So many cells from a day on, each half a week (or longer)."""

    def __init__(self, begins: date, cells: int, half_days: int = _HALF_DAYS[0]) -> None:
        self.begins = begins
        self.cells = max(1, cells)
        self.half_days = half_days

    @classmethod
    def of_weeks(cls, begins: date, weeks: int, most: int) -> Timescale:
        """So many weeks in at most so many cells, as large as they can be."""
        fits = (half for half in _HALF_DAYS if weeks * 14 <= half * most)
        half = next(fits, _HALF_DAYS[-1])
        return cls(begins, min(most, -(-weeks * 14 // half)), half)

    @classmethod
    def at_least(cls, begins: date, weeks: int, cells: int) -> Timescale:
        """All of these cells, with so many weeks on them at least: where cells are few each is longer."""
        return cls(begins, cells, cls.of_weeks(begins, weeks, cells).half_days)

    @property
    def weeks(self) -> int:
        """How many weeks it spans."""
        return self.cells * self.half_days // 14

    @property
    def ends(self) -> date:
        """Its last day."""
        return date.fromordinal(
            min(date.max.toordinal(), self.begins.toordinal() + (self.cells * self.half_days - 1) // 2)
        )

    def cell(self, day: date) -> int:
        """The cell of a day; outside the scale it is less than 0, or `cells` and more."""
        return (day - self.begins).days * 2 // self.half_days

    def months(self) -> str:
        """The names of the months above their first days; January with its year."""
        row = [" "] * self.cells
        year, month = self.begins.year, self.begins.month
        free = 0
        while True:
            first = date(year, month, 1)
            at = max(0, self.cell(first))
            if first > self.ends or at >= self.cells:
                break
            word = f"{_MONTHS[month - 1]} {year}" if month == 1 and self.cells - at >= 8 else _MONTHS[month - 1]
            shows = first >= self.begins or self._room_at_the_edge(first)
            if shows and at >= free and at + len(word) <= self.cells:
                row[at : at + len(word)] = word
                free = at + len(word) + 1
            year, month = (year, month + 1) if month < 12 else (year + 1, 1)
            if year > date.max.year:
                break
        return "".join(row)

    def _room_at_the_edge(self, first: date) -> bool:
        """Whether the month that had begun before the scale can be named without being taken for the next."""
        year, month = (first.year, first.month + 1) if first.month < 12 else (first.year + 1, 1)
        return year <= date.max.year and self.cell(date(year, month, 1)) > 3

    def today(self, now: date) -> str:
        """A mark at today with its date; empty where today is not on it."""
        at = self.cell(now)
        if not 0 <= at < self.cells:
            return " " * self.cells
        word = f"{now.day} {_MONTHS[now.month - 1]}"
        right = f"^ {word}"
        if at + len(right) <= self.cells:
            return (" " * at + right).ljust(self.cells)
        left = f"{word} ^"
        return (" " * max(0, at + 1 - len(left)) + left[-(at + 1) :]).ljust(self.cells)

    def row(self, marks: Iterable[Drawn], now: date) -> str:
        """What happened and what is foreseen, each sign at its days; today is a thin line where nothing stands."""
        cells = [" "] * self.cells
        at = self.cell(now)
        if 0 <= at < self.cells:
            cells[at] = "|"
        for mark in sorted(marks, key=lambda one: (_ORDER.index(one.what), one.first)):
            self._put(cells, mark)
        return "".join(cells)

    def _put(self, cells: list[str], mark: Drawn) -> None:
        first, last = self.cell(mark.first), self.cell(mark.last)
        if last < 0 or first >= self.cells:
            return
        match mark.what:
            case "brumation" | "together" | "incubating":
                sign = {"brumation": "z", "together": "-", "incubating": "~"}[mark.what]
                for at in range(max(0, first), min(self.cells - 1, last) + 1):
                    cells[at] = sign
            case "window" | "hatches":
                last = max(last, first + 1)
                for at in range(max(0, first), min(self.cells - 1, last) + 1):
                    sign = "=" if mark.what == "window" else "h"
                    cells[at] = "[" if at == first else "]" if at == last else sign
            case "laid" | "hatched":
                self._word(
                    cells, first, ("L" if mark.what == "laid" else "H") + (str(mark.number) if mark.number else "")
                )
            case _:
                if 0 <= first < self.cells:
                    cells[first] = {"digging": ".", "mated": "m", "likely": "*"}[mark.what]

    def _word(self, cells: list[str], at: int, word: str) -> None:
        for place, letter in enumerate(word, at):
            if 0 <= place < self.cells:
                cells[place] = letter
