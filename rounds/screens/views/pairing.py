"""The pairing table and the page of a pair as lines."""

from __future__ import annotations

from collections.abc import Callable
from typing import Final

from rounds.due.matters.wording import beside_name
from rounds.due.pairing_table import Pair, PairingTable
from rounds.paper.pairing_text import page_lines
from rounds.paper.plain_text import cut, shown
from rounds.paper.values import Values
from rounds.screens.board.board import BLANK, Line, Span, fit, line, pressing, wrap

#: Columns of the names of the rows, and of one mate.
_NAME: Final = 15
_CELL: Final = 16
#: Lines above the rows and below them.
_AROUND: Final = 5


def columns_in(width: int) -> int:
    """How many males stand side by side."""
    return max(1, (width - _NAME) // _CELL)


def rows_in(height: int) -> int:
    """How many females stand one below the other."""
    return max(1, height - _AROUND)


def table_lines(
    table: PairingTable,
    at: tuple[int, int],
    first: tuple[int, int],
    width: int,
    height: int,
    steps: Callable[[int, int], tuple[str, ...]],
) -> list[Line]:
    """The table from a female and a male on (`first`), the pair `at` marked; what is said of it in full below.

    `steps` gives the keys that go so many rows down and columns to the right: what a click on a cell presses.
    """
    names = table.standing.name
    across = table.sires[first[1] : first[1] + columns_in(width)]
    head = [Span(fit(" young of …", _NAME), "quiet")]
    for place, male in enumerate(across, first[1]):
        head.append(Span(fit(names(male), _CELL - 1) + " ", "cursor" if place == at[1] else "name"))
    shown_rows = [tuple(head)]
    for place, dam in enumerate(table.dams[first[0] : first[0] + rows_in(height)], first[0]):
        shown_rows.append(_row(table, place, dam, across, at, first[1], width, steps))
    dam, sire = table.dams[at[0]], table.sires[at[1]]
    pair = table.pair(dam, sire)
    told = f"{names(dam)} × {names(sire)}: {_in_full(table, pair)}."
    style = "today" if pair.cautions or pair.not_now else ""
    below = [line(" ", Span(one, style)) for one in wrap(told, width - 2)[:3]]
    room = height - len(below) - 1
    return [*shown_rows[:room], *[BLANK] * max(1, room - len(shown_rows) + 1), *below]


def _in_full(table: PairingTable, pair: Pair) -> str:
    """Every caution, and whose reasons speak against it now; else how they are kin, and what is not known."""
    told = [one.says for one in pair.cautions]
    for who in (pair.dam, pair.sire):
        name = table.standing.name(who)
        for first, *others in filter(None, [[one.says for one in table.not_now(who)]]):
            named = first if first.startswith(name) else f"{name} {first}"
            told.append(", ".join((named, *(beside_name(says, name) for says in others))))
    if told:
        return "; ".join(told)
    asked = [
        f"{table.standing.name(who)}: {', '.join(found)}"
        for who in (pair.dam, pair.sire)
        if (found := table.not_known(who))
    ]
    return pair.kin_in_full + (f". Look first: {'; '.join(asked)}" if asked else "")


def _row(
    table: PairingTable,
    place: int,
    dam: str,
    across: tuple[str, ...],
    at: tuple[int, int],
    first: int,
    width: int,
    steps: Callable[[int, int], tuple[str, ...]],
) -> Line:
    here = place == at[0]
    name = Span(
        f"{' > ' if here else '   '}{fit(table.standing.name(dam), _NAME - 4)} ", "cursor" if here else "name"
    )
    why = table.not_now(dam)
    if why:
        keys = steps(place - at[0], 0)
        says = beside_name(why[0].says, table.standing.name(dam))
        hurt = [(burden, sire) for sire in across for burden in table.pair(dam, sire).burdens[:1]]
        if hurt:
            with_whom = ", ".join(table.standing.name(sire) for _, sire in hurt)
            told = fit(f" {hurt[0][0]}! with {with_whom}; not now: {says}", width - _NAME - 1)
            return pressing((name, Span(told, "today")), *keys)
        return pressing((name, Span(fit(f" not now: {says}", width - _NAME - 1), "quiet")), *keys)
    cells = [name]
    for column, sire in enumerate(across, first):
        pair = table.pair(dam, sire)
        chosen = here and column == at[1]
        style = "cursor" if chosen else "today" if pair.cautions else "quiet" if pair.not_now else ""
        # What stands before the next one's words parts the two.
        text = f"{'>' if chosen else ' '}{cut(shown(pair.short), _CELL - 1)}"
        keys = steps(place - at[0], column - at[1]) or ("enter",)
        cells.append(Span(fit(text, _CELL), style, keys))
    return tuple(cells)


def pair_lines(found: Values, width: int) -> list[Line]:
    """The page of a pair, what speaks against it first."""
    lines: list[Line] = []
    for one in page_lines(found):
        if one.startswith("# "):
            lines += [BLANK, line(" ", Span(one[2:].upper(), "quiet"))]
            continue
        inset = len(one) - len(one.lstrip())
        told = one.strip()
        style = "today" if told.startswith("CAUTION") else ""
        wrapped = wrap(told, width - 2 - inset - 2)
        lines += [
            line(" " * (1 + inset + 2 * bool(number)), Span(text, style)) for number, text in enumerate(wrapped)
        ]
    return lines
