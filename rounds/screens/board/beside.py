"""Two panes on one board: lines beside lines, each cut to its own width; a click presses what is under it."""

from __future__ import annotations

from collections.abc import Sequence
from itertools import zip_longest
from typing import Final

from rich.cells import cell_len

from rounds.paper.plain_text import shown
from rounds.screens.board.board import BLANK, Fitted, Line, Span, fitting

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
    rows: list[Line] = []
    for one, other in zip_longest(left[:height], right[:height], fillvalue=BLANK):
        rows.append(_joined(padded_line(one, left_width), padded_line(other, right_width)))
    empty = _joined(padded_line(BLANK, left_width), padded_line(BLANK, right_width))
    return [*rows, *([empty] * (height - len(rows)))]


def padded_line(one: Line, width: int) -> Fitted:
    """The line in just so many cells. Behind its words a click presses what all of them press."""
    if type(one) is Fitted and one.width == width:
        return one
    cells = sum(cell_len(shown(span.text)) for span in one)
    if cells > width:
        one = fitting(one, width)
        cells = sum(cell_len(span.text) for span in one)
    every = {span.keys for span in one}
    behind = every.pop() if len(every) == 1 else ()
    found = Fitted(
        (*map(_shown, one), Span(" " * (width - cells), "", behind)) if cells < width else map(_shown, one)
    )
    found.width = width
    return found


def _shown(span: Span) -> Span:
    text = shown(span.text)
    return span if text is span.text else span._replace(text=text)


def _joined(left: Fitted, right: Fitted) -> Fitted:
    found = Fitted((*left, BETWEEN, *right))
    found.width = left.width + len(BETWEEN.text) + right.width
    return found
