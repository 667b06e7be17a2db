"""The supplies as lines: each with what is left, until when it lasts, what is needed; and what to order. Pure."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import date, datetime

from rounds.paper.supplies import amount_words, counted_words, lasts_words, order_words, other_unit, use_sentence
from rounds.paper.values import Values
from rounds.paper.words import date_words
from rounds.screens.board.board import Line, Span, fit, line, wrap

#: The columns beside the name: until when it lasts, what is left, the needs.
_LASTS, _LEFT, _NEED = 21, 8, 8
#: On a screen less wide the need for 14 days stands in the detail alone.
_WIDE = 66


def heading(width: int) -> Line:
    """What the columns are."""
    columns = (" " * _name_cells(width), f"{'':{_LASTS}}", *(f"{word:>{cells}}" for word, cells in _columns(width)))
    return line("   ", Span("".join(columns) + "  unit", "quiet"))


def _columns(width: int) -> tuple[tuple[str, int], ...]:
    return (("left", _LEFT), ("7 days", _NEED), ("14 days", _NEED))[: 3 if width >= _WIDE else 2]


def _name_cells(width: int) -> int:
    needed = 3 + _LASTS + sum(cells for _, cells in _columns(width)) + 8
    return max(8, min(30, width - needed))


def supply_row(one: Values, now: datetime, width: int, mark: bool) -> Line:
    """One supply on one line."""
    amounts = zip((one["left"], one["need_week"], one["need_fortnight"]), _columns(width), strict=False)
    return line(
        Span(" > " if mark else "   ", "key"),
        Span(fit(one["name"], _name_cells(width) - 1) + " ", "cursor" if mark else "name"),
        Span(fit(lasts_words(one, now), _LASTS), _style(one)),
        "".join(f"{amount_words(amount):>{cells}}" for amount, (_, cells) in amounts),
        Span(f"  {fit(one['unit'], 6)}", "quiet"),
    )


def _style(one: Values) -> str:
    if one["level"] is not None:
        return str(one["level"])
    return "quiet" if one["runs_out"] is None else ""


def supply_detail(one: Values, now: datetime, width: int) -> list[Line]:
    """The supply selected: its last count, what is used of it, when to order."""
    told = [f"{one['name']}: {counted_words(one, now)}."]
    if used := use_sentence(one):
        told.append(used)
    if one["factor"] is not None:
        told.append(f"Need is the plan × {one['factor']:.2f}, by what was really used.")
    if why := other_unit(one):
        told.append(f"Use not planned: {why}.")
    if not one["use"]:
        told.append("colony.toml does not say what it is for: use is learned from the counts.")
    if one["order_on"] and not one["order"]:
        told.append(f"Order on {_day(one['order_on'], now)}.")
    return [line(" ", row) for row in wrap(" ".join(told), width - 2)]


def order_lines(order: Sequence[Values], width: int) -> list[Line]:
    """What to order today."""
    if not order:
        return [line(" ", Span("Nothing to order today.", "good"))]
    rows = wrap("Order today: " + ", ".join(order_words(order)), width - 2)
    return [line(" ", Span(row, "today")) for row in rows]


def nothing_lines(width: int) -> list[Line]:
    """How to begin."""
    told = (
        "No supply is known yet.",
        "n begins one: its name, and how much there is.",
        "What it is for, and how much a head gets, stands in [supplies] of colony.toml.",
    )
    return [line(" ", Span(row, "quiet")) for one in told for row in wrap(one, width - 2)]


def _day(text: str, now: datetime) -> str:
    return date_words(date.fromisoformat(text), now)
