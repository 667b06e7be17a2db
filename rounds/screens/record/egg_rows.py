"""The rows of an egg box stop or a shelf: each box with each clutch in it, to be selected."""

from __future__ import annotations

from collections.abc import Sequence
from typing import TYPE_CHECKING, NamedTuple

from rounds.due.line import DueLine
from rounds.rules.house import House
from rounds.standing.clutch import Clutch
from rounds.standing.fold import Standing

if TYPE_CHECKING:
    from rounds.standing.egg_box import EggBox  # late: no start has to wait for it


class EggRow(NamedTuple):
    """A box, and one of the clutches in it; None in an empty box."""

    key: str
    box: EggBox
    eggs: Clutch | None


def egg_rows(standing: Standing, house: House, stop: str | None) -> tuple[EggRow, ...]:
    """The boxes that stand at a stop, those on its shelf too; none where animals live."""
    if stop is None or standing.living_in(stop):
        return ()
    from rounds.standing.egg_boxes import boxes_at, boxes_on, holds_eggs  # late: no start has to wait for it

    if not holds_eggs(standing, stop):
        return ()
    boxes = dict.fromkeys(
        (*boxes_at(standing, stop, house.egg_figures), *boxes_on(standing, stop, house.egg_figures))
    )
    found: list[EggRow] = []
    for box in boxes:
        found += [EggRow(f"{box.key} {eggs.subject}", box, eggs) for eggs in box.clutches]
        found += [] if box.clutches else [EggRow(box.key, box, None)]
    return tuple(found)


def first_due(rows: Sequence[EggRow], due: Sequence[DueLine], care: str = "") -> EggRow | None:
    """The first row to which something is due (of this care)."""
    for line in due:
        if line.left_out is not None or (care and line.care != care):
            continue
        for row in rows:
            if line.about in (row.box.key, row.eggs.subject if row.eggs is not None else ""):
                return row
    return None
