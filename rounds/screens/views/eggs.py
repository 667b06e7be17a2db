"""The egg boxes of a stop as lines: whose eggs, how many, which day, what it weighs, what to add. Pure."""

from __future__ import annotations

from collections.abc import Callable, Collection, Sequence
from datetime import datetime
from typing import TYPE_CHECKING

from rounds.logbook.times import days_between
from rounds.screens.board.board import Line, Span, fit, line, pressing
from rounds.standing.clutch import Clutch

if TYPE_CHECKING:
    from rounds.standing.egg_box import EggBox  # late: no start has to wait for it

#: What the keys of egg boxes do, by their ids; and the same where no box holds eggs.
KEYS = (("weight", "box weight"), ("egg-check", "candle, look, take out, box eggs"), ("move", "onto a shelf"))
KEYS_EMPTY = (("weight", "box weight"), ("egg-check", "make it up, box eggs into it"), ("move", "onto a shelf"))


def egg_lines(
    rows: Sequence[tuple[str, EggBox, Clutch | None]],
    cursor: str,
    now: datetime,
    width: int,
    most: int,
    steps: Callable[[int], tuple[str, ...]],
    label: Callable[[str], str],
    weigh: Collection[str] = (),
) -> list[Line]:
    """A line for each box and clutch, the selected one marked; a window of `most` lines around it.

    `label` names a key by its id, `weigh` are the keys of the boxes that are to be weighed today.
    """
    if not rows:
        return []
    at = next((place for place, (key, _, _) in enumerate(rows) if key == cursor), 0)
    names = 2 + max((len(_name(box)) for _, box, _ in rows), default=2)
    whose = 2 + max((len(_whose(eggs)) for _, _, eggs in rows), default=2)
    names, whose = min(names, 14), min(whose, 24)
    shown = [
        pressing(_row(key == cursor, box, eggs, now, width, (names, whose), box.key in weigh), *steps(place - at))
        for place, (key, box, eggs) in enumerate(rows)
    ]
    if len(shown) > most:
        first = max(0, min(at - most // 2, len(shown) - (most - 1)))
        more = line("     ", Span(f"{len(rows)} here; ↑ ↓ shows the others", "quiet"))
        shown = [*shown[first : first + most - 1], more]
    keys = KEYS if any(eggs is not None for _, _, eggs in rows) else KEYS_EMPTY
    told = "   ".join(f"{label(id)} {what}" for id, what in keys)
    return [*shown, line("   ", Span(fit(told, width - 4), "quiet"))]


def _name(box: EggBox) -> str:
    return box.standing.name(box.place)


def _whose(eggs: Clutch | None) -> str:
    return eggs.called if eggs is not None else "empty"


def _row(
    mark: bool, box: EggBox, eggs: Clutch | None, now: datetime, width: int, columns: tuple[int, int], weigh: bool
) -> Line:
    from rounds.due.egg_boxes import water_words  # late: no start has to wait for it
    from rounds.paper.boxes import weight_words  # late: no start has to wait for it

    names, whose = columns
    count = ""
    if eggs is not None:
        here = eggs.left_in(box.place)
        put = sum(one.count for one in eggs.in_boxes.boxes if one.place == box.place)
        count = f"{'?' if here is None else here}/{put}"
        count += f"  day {days_between(eggs.started, now)}" if eggs.started else ""
    top_up = f"   top up {water_words(box.top_up)}" if box.top_up is not None else "   weigh" if weigh else ""
    rest = width - (3 + names + whose + 16) - 1
    return line(
        Span(" > " if mark else "   ", "key"),
        Span(fit(_name(box), names), "cursor" if mark else "name"),
        fit(_whose(eggs), whose),
        fit(count, 16),
        Span(fit(weight_words(box) + top_up, max(8, rest)), "today" if top_up else ""),
    )
