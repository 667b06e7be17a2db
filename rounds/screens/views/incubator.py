"""The incubator as lines: each shelf with its temperatures and the clutches on it. Pure."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from datetime import datetime
from typing import Final

from rounds.paper.incubator import box_line, clutch_row, drawing, out_of_band, shelf_head
from rounds.paper.values import Values
from rounds.screens.board.board import BLANK, Line, Span, fit, line, pressing, wrap

#: From so many columns on the clutches stand beside the temperatures.
WIDE: Final = 110
#: Columns of the drawing where the clutches stand beside it, on a screen that is wide and on one that is wider.
_DRAWN: Final = 36
_DRAWN_WIDER: Final = 58
_WIDER: Final = 140
#: Rows of the drawing, where the clutches stand below it and where they stand beside it.
_ROWS: Final = 3
_ROWS_BESIDE: Final = 5
#: So many empty boxes are named.
_NAMED: Final = 6
_HEADINGS: Final = ("box", "clutch", "eggs", "day", "hatches", "weight")


def no_keys(_: int) -> tuple[str, ...]:
    """A click presses nothing."""
    return ()


def shelf_lines(
    shelf: Values,
    found: Values,
    now: datetime,
    width: int,
    *,
    at: int | None,
    draw: bool,
    plain: bool,
    keys: Callable[[int], tuple[str, ...]] = no_keys,
) -> list[Line]:
    """A shelf: how it stands, its temperatures drawn, its clutches. `at` is the cursor, 0 on the shelf.

    `keys` are those that a click presses on the shelf (0) and on each of its clutches.
    """
    first, *rest = shelf_head(shelf, found, now)
    style = "cursor" if at == 0 else "today" if shelf["clutches"] and out_of_band(shelf, found) else "name"
    head = wrap(first, width - 4)
    shown: list[Line] = []
    for place, part in enumerate(head):
        mark = Span(" > " if at == 0 and not place else "   ", "key")
        shown.append(pressing(line(mark, Span(part, "quiet" if place else style)), *keys(0)))
    hot = "today" if shelf["hot_hours"] or shelf["drift_c_a_day"] is not None else "quiet"
    shown += [line("   ", Span(part, hot)) for one in rest for part in wrap(one, width - 4)]
    # The box under the cursor is drawn, where anything was read inside it; else the shelf.
    under = shelf["clutches"][at - 1]["place"] if at else None
    inside = next((one for one in shelf["in_boxes"] if one["box"] == under), None)
    for one in shelf["in_boxes"]:
        told = box_line(one, found, now) + ("   drawn" if one is inside and draw else "")
        out = "today" if out_of_band(one, found) or one["hot_hours"] else "quiet"
        shown += [line("   ", Span(part, out)) for part in wrap(told, width - 4) if part.strip()]
    beside = width >= WIDE and draw
    columns = (_DRAWN_WIDER if width >= _WIDER else _DRAWN) if beside else min(_DRAWN_WIDER + 4, width - 6)
    rows = clutch_lines(shelf["clutches"], now, width - columns - 10 if beside else width, at, keys)
    if shelf["empty_boxes"]:
        rows.append(line("   ", Span(f"empty: {', '.join(shelf['empty_boxes'][:_NAMED])}", "quiet")))
    drawn = (
        drawing(inside or shelf, found, columns, rows=_ROWS_BESIDE if beside else _ROWS, plain=plain)
        if draw
        else []
    )
    blocks = [
        Span(fit(text, columns + 4), "good" if place < len(drawn) - 1 else "quiet")
        for place, text in enumerate(drawn)
    ]
    if not beside or not drawn:
        return [*shown, *(line("   ", one) for one in blocks), *rows]
    for place in range(max(len(blocks), len(rows))):
        left = blocks[place] if place < len(blocks) else Span(fit("", columns + 4))
        shown.append(line("   ", left, *(rows[place] if place < len(rows) else BLANK)))
    return shown


def clutch_lines(
    clutches: Sequence[Values],
    now: datetime,
    width: int,
    at: int | None,
    keys: Callable[[int], tuple[str, ...]] = no_keys,
) -> list[Line]:
    """The clutches as a table; the cursor is on the clutch of its number, counted from 1."""
    if not clutches:
        return [line("   ", Span("no eggs", "quiet"))]
    rows = [_HEADINGS, *(clutch_row(one, now) for one in clutches)]
    wide = [max(len(row[column]) for row in rows) for column in range(len(_HEADINGS))]
    wide[1] = max(6, min(wide[1], width - 2 - sum(wide) - 2 * len(wide) + wide[1]))
    found: list[Line] = []
    for place, row in enumerate(rows):
        text = "  ".join(fit(cell, wide[column]) for column, cell in enumerate(row))
        mark = at is not None and place == at and place > 0
        style = "cursor" if mark else "quiet" if not place else ""
        row_line = line(Span(" > " if mark else "   ", "key"), Span(text, style))
        found.append(pressing(row_line, *keys(place)) if place else row_line)
    return found
