"""Where each rack and each enclosure of the room is drawn: racks beside each other, in bands below each other."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from functools import cached_property
from typing import Final, NamedTuple

from rounds.paper.plain_text import shown, width
from rounds.standing.racks import Rack

#: Cells between two racks, and between two enclosures side by side.
GAP: Final = 1
#: The longest name of an enclosure that is drawn whole.
MOST_NAME: Final = 10


class Spot(NamedTuple):
    """A rack's title or an enclosure, drawn `wide` cells wide from column `x` of line `y`."""

    x: int
    y: int
    wide: int
    stop: str | None
    title: str = ""
    name_wide: int = 0
    band: int = 0


class Plan:
    """Racks laid out in bands. `lines` is the height; `spots` are its titles and enclosures, line by line."""

    def __init__(
        self, bands: Sequence[Sequence[Rack]], names: Callable[[str], str], word_wide: int, *, tight: bool = False
    ) -> None:
        """`tight` leaves no space between racks, and gives a title no more than what stands below it."""
        self.spots: list[list[Spot]] = []
        self.at: dict[str, Spot] = {}
        for number, band in enumerate(bands):
            if self.spots:
                self.spots.append([])
            top = len(self.spots)
            deep = max((len(rack.rows) for rack in band), default=0)
            self.spots += [[] for _ in range(deep + 1)]
            x = 0
            for rack in band:
                name, wide = _measure(rack, names, word_wide, tight)
                title = rack.title.removeprefix("rack ") if tight else rack.title
                self.spots[top].append(Spot(x, top, wide * rack.columns, None, title))
                for row, stops in enumerate(rack.rows, top + 1):
                    for column, stop in enumerate(stops):
                        if stop is not None:
                            spot = Spot(x + column * wide, row, wide, stop, "", name, number)
                            self.spots[row].append(spot)
                            self.at[stop] = spot
                x += wide * rack.columns + (0 if tight else GAP)

    @property
    def lines(self) -> int:
        """How many lines it takes."""
        return len(self.spots)

    @cached_property
    def columns(self) -> int:
        """How many columns it takes."""
        return max((spot.x + spot.wide for row in self.spots for spot in row), default=0)

    @cached_property
    def _bands(self) -> dict[int, dict[int, list[Spot]]]:
        """Of each band the enclosures that begin in each column, from the top down."""
        found: dict[int, dict[int, list[Spot]]] = {}
        for spot in sorted(self.at.values(), key=lambda one: one.y):
            found.setdefault(spot.band, {}).setdefault(spot.x, []).append(spot)
        return found

    def beside(self, stop: str, right: int, down: int) -> str:
        """The enclosure that is reached from one by an arrow, or the same.

        Sideways it is in the next column of the band, as near to the same line as can be; up and down in the same
        column, and beyond its end in the next band. So arrows lead from any enclosure to any other.
        """
        here = self.at[stop]
        found = self._across(here, right) if right else self._along(here, down)
        return found.stop if found is not None and found.stop is not None else stop

    def _across(self, here: Spot, right: int) -> Spot | None:
        band = self._bands[here.band]
        columns = sorted(band)
        at = columns.index(here.x) + right
        if not 0 <= at < len(columns):
            return None
        return min(band[columns[at]], key=lambda one: (abs(one.y - here.y), one.y))

    def _along(self, here: Spot, down: int) -> Spot | None:
        column = self._bands[here.band][here.x]
        at = column.index(here) + down
        if 0 <= at < len(column):
            return column[at]
        bands = sorted(self._bands)
        beyond = bands.index(here.band) + down
        if not 0 <= beyond < len(bands):
            return None
        found = self._bands[bands[beyond]]
        nearest = min(found, key=lambda x: (abs(x - here.x), x))
        return found[nearest][0 if down > 0 else -1]


def _measure(rack: Rack, names: Callable[[str], str], word_wide: int, tight: bool) -> tuple[int, int]:
    """How wide the names of a rack are, and an enclosure of it."""
    name = max((min(MOST_NAME, width(shown(names(stop)))) for stop in rack.stops), default=2)
    wide = 1 + name + 1 + word_wide + GAP
    if rack.columns == 1 and not tight:
        wide = max(wide, min(MOST_NAME, width(shown(rack.title))) + 1)
    return name, wide


def flowed(
    racks: Sequence[Rack], names: Callable[[str], str], word_wide: int, columns: int, *, tight: bool = False
) -> Plan:
    """All racks in as many bands as they need to be no wider than `columns` (but for a rack wider than that)."""
    bands: list[list[Rack]] = []
    room, gap = 0, 0 if tight else GAP
    for rack in racks:
        wide = _measure(rack, names, word_wide, tight)[1] * rack.columns + gap
        if not bands or wide > room:
            bands.append([])
            room = columns + gap
        bands[-1].append(rack)
        room -= wide
    return Plan(bands, names, word_wide, tight=tight)


def one_band(racks: Sequence[Rack], names: Callable[[str], str], word_wide: int, *, tight: bool = False) -> Plan:
    """All racks beside each other, however wide that is."""
    return Plan([list(racks)], names, word_wide, tight=tight)
