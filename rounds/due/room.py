"""The room at a glance: of each enclosure what presses most, what is due there, and whether it was walked."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping, Sequence
from typing import Final, NamedTuple

from rounds.due.line import DueLine
from rounds.due.matter import Level, Matter
from rounds.due.walk import Walk
from rounds.standing.clutch import clutches_in
from rounds.standing.enclosure import enclosure
from rounds.standing.fold import Standing
from rounds.standing.racks import Rack, RackSetting, racks
from rounds.standing.shelves import standing_on

#: Due lines that hold no one up: they stay due.
_WAITS: Final = ("climate", "lamp")
#: The words of a cell, the most pressing first; "" is: walked by no one, and nothing is due there.
WORDS: Final = ("VET NOW", "VET", "TODAY", "look", "done", "due", "empty", "")


class Cell(NamedTuple):
    """One enclosure in the room.

    `word` is one of `WORDS`: the worst open matter from TODAY on; else a look or a figure that is due; else whether
    it was walked, has something due, or holds no one. `walked` holds beside any word.
    """

    stop: str
    name: str
    word: str
    walked: bool = False
    level: Level | None = None
    due: tuple[DueLine, ...] = ()
    looks: tuple[DueLine, ...] = ()
    matters: tuple[Matter, ...] = ()


def is_look(line: DueLine, walk: Walk) -> bool:
    """Whether an animal still waits for a look or a figure here today."""
    return not line.plain and line.left_out is None and line.due <= walk.day and line.care not in _WAITS


def by_stop(matters: Iterable[Matter], stops: Iterable[str]) -> dict[str, list[Matter]]:
    """Open matters by the stop they belong to, in the order given; those of no stop are left out."""
    found: dict[str, list[Matter]] = {stop: [] for stop in stops}
    for matter in matters:
        place = matter.about if matter.about in found else matter.place
        if matter.put_off is None and place in found:
            found[place].append(matter)
    return found


def cells(
    standing: Standing, walk: Walk, lines_at: Callable[[str], Sequence[DueLine]], matters: Iterable[Matter]
) -> dict[str, Cell]:
    """A cell for each stop of the walk, in walking order. `matters` come worst first."""
    at = by_stop(matters, walk.order)
    return {stop: _cell(standing, walk, stop, lines_at(stop), at[stop]) for stop in walk.order}


def cells_before(standing: Standing, walk: Walk) -> dict[str, Cell]:
    """The same before due lines and matters are reckoned: only what was walked."""
    return {
        stop: Cell(stop, standing.name(stop), "done" if stop in walk.done else "", stop in walk.done)
        for stop in walk.order
    }


def _cell(standing: Standing, walk: Walk, stop: str, lines: Sequence[DueLine], matters: Sequence[Matter]) -> Cell:
    looks = tuple(line for line in lines if is_look(line, walk))
    due = tuple(line for line in lines if line.left_out is None)
    walked = stop in walk.done
    level = matters[0].level if matters else None
    if level is not None and level >= Level.TODAY:
        word = level.word.upper()
    elif looks:
        word = "look"
    elif walked:
        word = "done"
    elif due:
        word = "due"
    else:
        word = "empty" if is_empty(standing, stop) else ""
    return Cell(stop, standing.name(stop), word, walked, level, due, looks, tuple(matters))


def is_empty(standing: Standing, stop: str) -> bool:
    """Whether no animal lives in an enclosure and no eggs incubate there, nor in a box that stands on it."""
    if enclosure(standing, stop).living or clutches_in(standing, stop):
        return False
    return not any(clutches_in(standing, box) for box in standing_on(standing, stop))


class Room(NamedTuple):
    """The racks as they stand, and what each enclosure in them says now."""

    racks: tuple[Rack, ...]
    cells: Mapping[str, Cell]


def room(standing: Standing, found: Mapping[str, Cell], settings: Sequence[RackSetting]) -> Room:
    """The room, drawn from the cells of the walk."""
    return Room(racks(standing, tuple(found), settings), found)
