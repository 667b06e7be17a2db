"""What could not be read in a logger's file, in sentences that name its lines. Pure."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from typing import Final

from rounds.logbook.times import DateOrder

#: So many lines of one trouble are named by number.
_NAMED: Final = 8
#: So many troubles are told in words, the first ones; the others only by their lines.
_TOLD: Final = 12


class Troubles:
    """What could not be read: each trouble with the lines that had it."""

    def __init__(self) -> None:
        self._by_words: dict[str, list[int]] = {}
        self.lines = 0
        #: The first line with a month that is none.
        self.wrong_order = 0
        self.left_out = self.ahead = False

    def add(self, words: str, line: int, *, bad: bool = True) -> None:
        """One line more with this trouble."""
        self._by_words.setdefault(words, []).append(line)
        self.lines += bad

    def sentences(self, order: DateOrder) -> Iterable[str]:
        """Each trouble in a sentence that names its lines."""
        troubles = list(self._by_words.items())
        for words, lines in troubles[:_TOLD]:
            yield f"{_lines(sorted(lines))}: {words}."
        if others := sorted(line for _, lines in troubles[_TOLD:] for line in lines):
            yield f"{_lines(others)}: could not be read either."
        if self.left_out:
            yield "If the logger does not change its clock in spring, add --zone with its offset, such as +01:00."
        if self.wrong_order or self.ahead:
            other = "month-day" if order == "day-month" else "day-month"
            yield f"If the file writes {other.replace('-', ', then ')}, add --date-order {other}."


def _lines(numbers: Sequence[int]) -> str:
    """`Line 7`, `Lines 7, 9 to 12 and 3 more`."""
    runs: list[list[int]] = []
    for one in numbers:
        if runs and one == runs[-1][1] + 1:
            runs[-1][1] = one
        elif not runs or one != runs[-1][1]:
            runs.append([one, one])
    named = [f"{begun}" if begun == ended else f"{begun} to {ended}" for begun, ended in runs[:_NAMED]]
    more = len(numbers) - sum(ended - begun + 1 for begun, ended in runs[:_NAMED])
    words = ", ".join(named) + (f" and {more} more" if more > 0 else "")
    return f"{'Line' if len(numbers) == 1 else 'Lines'} {words}"
