"""Two panes on one board: lines beside lines, each cut to its own width; a click presses what is under it."""

from __future__ import annotations

from collections.abc import Sequence
from itertools import zip_longest
from typing import Final

from rich.cells import cell_len

from rounds.screens.board.board import BLANK, Line, Span, fitting

#: From so many columns on there are two panes.
TWO_PANES: Final = 110
#: What stands between them.
BETWEEN: Final = Span(" │ ", "quiet")
#: The least columns of a pane.
_LEAST: Final = 32


def widths(width: int, share: float) -> tuple[int, int]:
    """How wide the left pane is and the right one, the left by its share; the right is 0 on a narrow screen."""
    if width < TWO_PANES:
        return width, 0
    room = width - len(BETWEEN.text)
    left = max(_LEAST, min(room - _LEAST, round(room * share)))
    return left, room - left


def beside(
    left: Sequence[Line], right: Sequence[Line], left_width: int, right_width: int, height: int
) -> list[Line]:
    """So many lines of both panes. Behind the words of a line a click counts as in its own pane."""
    rows = [
        (*_padded(one, left_width), BETWEEN, *_padded(other, right_width))
        for one, other in zip_longest(left[:height], right[:height], fillvalue=BLANK)
    ]
    return [*rows, *([(*_padded(BLANK, left_width), BETWEEN)] * (height - len(rows)))]


def _padded(one: Line, width: int) -> Line:
    one = fitting(one, width)
    cells = sum(cell_len(span.text) for span in one)
    if cells >= width:
        return one
    every = {span.keys for span in one}
    return (*one, Span(" " * (width - cells), "", every.pop() if len(every) == 1 else ()))
