"""What stands on no sheet any more, in a line of its own and above what is taken over."""

from __future__ import annotations

from collections.abc import Iterable

from rounds.desk.shift import Shift
from rounds.screens.board.board import BLANK, Line, Span, fit, line, wrap


def missing_line(shift: Shift, key: str, width: int) -> Line:
    """`MISSING: 1 entry, 1 VET NOW (Wattle). F12.`: below the title of the walk; blank when nothing is missing."""
    if shift.desk.missing is None:
        return BLANK
    urgent = shift.urgent_lines()
    said = f" MISSING: {shift.missing_in_short()}. {key}{'.' if urgent else ' shows them.'}"
    return line(Span(fit(said, width - 1), _style(urgent[0]) if urgent else "vet"))


def urgent_rows(urgent: Iterable[str], width: int) -> list[Line]:
    """What is said of it first: the vet matters with their step, and the calls."""
    return [line(" ", Span(row, _style(one))) for one in urgent for row in wrap(one, width - 2)]


def _style(urgent: str) -> str:
    return "vet-now" if urgent.startswith("VET NOW") else "vet"
