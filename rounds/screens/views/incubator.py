"""The incubator as lines: each shelf with its temperatures and the clutches on it. Pure."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import datetime
from typing import Final

from rounds.paper.incubator import clutch_row, drawing, shelf_head
from rounds.paper.values import Values
from rounds.screens.board.board import BLANK, Line, Span, fit, line, wrap

#: From so many columns on the clutches stand beside the temperatures.
WIDE: Final = 110
#: Columns of the drawing where the clutches stand beside it.
_DRAWN: Final = 58
_HEADINGS: Final = ("box", "clutch", "eggs", "day", "hatches", "weight")


def shelf_lines(
    shelf: Values,
    found: Values,
    now: datetime,
    width: int,
    *,
    at: int | None,
    draw: bool,
    plain: bool,
) -> list[Line]:
    """A shelf: how it stands, its temperatures drawn, its clutches. `at` is the cursor, 0 on the shelf."""
    first, *rest = shelf_head(shelf, found, now)
    style = "cursor" if at == 0 else "today" if _is_out(shelf, found) else "name"
    head = wrap(first, width - 4)
    shown: list[Line] = [
        line(Span(" > " if at == 0 and not place else "   ", "key"), Span(part, style if not place else "quiet"))
        for place, part in enumerate(head)
    ]
    hot = "today" if shelf["hot_hours"] or shelf["drift_c_a_day"] is not None else "quiet"
    shown += [line("   ", Span(part, hot)) for one in rest for part in wrap(one, width - 4)]
    rows = clutch_lines(shelf["clutches"], now, width - _DRAWN - 10 if width >= WIDE else width, at)
    drawn = (
        drawing(shelf, found, _DRAWN if width >= WIDE else min(_DRAWN + 4, width - 6), plain=plain) if draw else []
    )
    blocks = [
        line("   ", Span(text, "good" if place < len(drawn) - 1 else "quiet")) for place, text in enumerate(drawn)
    ]
    if width < WIDE or not drawn:
        return [*shown, *blocks, *rows]
    beside = max(len(blocks), len(rows))
    for place in range(beside):
        left = drawn[place] if place < len(drawn) else ""
        style = "good" if place < len(drawn) - 1 else "quiet"
        shown.append(
            line("   ", Span(fit(left, _DRAWN + 4), style), *(rows[place] if place < len(rows) else BLANK))
        )
    return shown


def clutch_lines(
    clutches: Sequence[Values], now: datetime, width: int, at: int | None, empty: str = ""
) -> list[Line]:
    """The clutches as a table; the cursor is on the clutch of its number, counted from 1."""
    if not clutches:
        return [line("   ", Span(f"no eggs{empty}", "quiet"))]
    rows = [_HEADINGS, *(clutch_row(one, now) for one in clutches)]
    wide = [max(len(row[column]) for row in rows) for column in range(len(_HEADINGS))]
    wide[1] = max(6, min(wide[1], width - 6 - sum(wide) - 2 * len(wide) + wide[1]))
    found: list[Line] = []
    for place, row in enumerate(rows):
        text = "  ".join(fit(cell, wide[column]) for column, cell in enumerate(row))
        mark = at is not None and place == at and place > 0
        style = "cursor" if mark else "quiet" if not place else ""
        found.append(line(Span(" > " if mark else "   ", "key"), Span(text, style)))
    return found


def _is_out(shelf: Values, found: Values) -> bool:
    low, high = found["band_c"]
    return shelf["now_c"] is not None and bool(shelf["clutches"]) and not low <= shelf["now_c"] <= high
