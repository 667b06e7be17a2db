"""Which column of a logger's file is what, and whether it is in °C or °F. Pure."""

from __future__ import annotations

import re
from collections.abc import Callable, Sequence
from itertools import pairwise
from typing import Final, Literal

import msgspec

from rounds.errors import BadEntry
from rounds.logbook.logger_table import Table, has_figures, is_nothing, number, unit_behind
from rounds.logbook.logger_times import looks_like_clock, looks_like_day, looks_like_epoch, looks_like_time
from rounds.logbook.times import DateOrder

Unit = Literal["C", "F"]
#: So many lines say what a column holds.
SAMPLE: Final = 300
#: So many columns are listed by name.
_LISTED: Final = 20
_WARMTH: Final = re.compile(r"temp|celsius|fahrenheit|°\s?[cf]\b|\bdeg\.? ?[cf]\b|\([cf]\)|℃|℉|\bt\b", re.I)
_DAMP: Final = re.compile(r"hum|\brh\b|r\.h|feuchte|%", re.I)
_OTHER: Final = re.compile(
    r"dew|\bvpd\b|taupunkt|batt|volt|press|light|lux|alarm|index|\bno\.?\b|record|^#|serial|heat", re.I
)
_UNIT_F: Final = re.compile(r"fahrenheit|(?:°|º|˚|deg\.? ?|Â°|\ufffd)\s?f\b|\(f\)|\[f\]|℉|[_ ]f$", re.I)
_UNIT_C: Final = re.compile(r"celsius|centigrade|(?:°|º|˚|deg\.? ?|Â°|\ufffd)\s?c\b|\(c\)|\[c\]|℃|[_ ]c$", re.I)
_UNIT_LINE: Final = re.compile(r"unit[a-z ]*[:=;,\t]+\s*\"?(?:deg\.? ?|°)?([cf])\b", re.I)


class NeedsColumn(BadEntry):
    """Several columns may be the shelf's: which, by number and what stands in it."""

    def __init__(self, says: str, columns: Sequence[tuple[str, str]]) -> None:
        super().__init__(says)
        self.columns = list(columns)


class NeedsUnit(BadEntry):
    """The file does not say whether it is in °C or °F."""


class Asked(msgspec.Struct, frozen=True, kw_only=True):
    """How a keeper wants a file read: the channel by its name, the unit, the clock's zone, the order of its days.

    Each is empty where the file, or the colony, says it.
    """

    column: str = ""
    humidity: str = ""
    unit: str = ""
    zone: str = ""
    order: DateOrder | None = None


class Columns(msgspec.Struct, frozen=True, kw_only=True):
    """Which column holds what, by its place; `clock` is set where day and hour stand apart."""

    time: int
    clock: int | None
    warmth: int
    damp: int | None


def columns_of(found: Table, asked: Asked) -> Columns:
    """Which column is what. Raises `NeedsColumn` where several may be the shelf's, `BadEntry` where none is."""
    sample = [row.cells for row in found.rows[:SAMPLE] if len(row.cells) == found.cells and has_figures(row.cells)]
    names = found.names or ("",) * found.cells
    time, clock = _time_columns(sample, found.cells)
    used = {time, clock}
    figures = [
        place
        for place in range(found.cells)
        if place not in used
        and _mostly(sample, place, lambda cell: number(cell) is not None or is_nothing(cell))
        and any(number(row[place]) is not None for row in sample)
    ]
    damp = _named(names, figures, asked.humidity, "humidity") if asked.humidity else None
    if asked.column:
        warmth = _named(names, figures, asked.column, "column")
    else:
        likely = [place for place in figures if not _OTHER.search(names[place])]
        warm = [place for place in likely if _WARMTH.search(names[place]) and not _is_damp(names[place])]
        rest = [place for place in likely if not _is_damp(names[place]) and not _counts_up(sample, place)]
        choice = warm or rest
        if len(choice) != 1:
            raise _which(names, choice or figures, sample)
        warmth = choice[0]
    if damp is None:
        humid = [
            place
            for place in figures
            if place != warmth and _is_damp(names[place]) and not _OTHER.search(names[place])
        ]
        damp = humid[0] if len(humid) == 1 else None
    return Columns(time=time, clock=clock, warmth=warmth, damp=damp)


def _is_damp(name: str) -> bool:
    return _DAMP.search(name) is not None and not re.search(r"temp", name, re.I)


def _time_columns(sample: Sequence[tuple[str, ...]], cells: int) -> tuple[int, int | None]:
    for place in range(cells):
        if _mostly(sample, place, looks_like_time):
            return place, None
    days = [place for place in range(cells) if _mostly(sample, place, looks_like_day)]
    clocks = [place for place in range(cells) if _mostly(sample, place, looks_like_clock)]
    if days and clocks:
        return days[0], clocks[0]
    for place in range(cells):
        if _mostly(sample, place, looks_like_epoch):
            return place, None
    raise BadEntry(
        "No column of the file holds a day and an hour: one like 2026-04-12 07:15 is needed, or seconds since 1970."
    )


def _mostly(sample: Sequence[tuple[str, ...]], place: int, fits: Callable[[str], object]) -> bool:
    return bool(sample) and sum(bool(fits(row[place])) for row in sample) * 2 > len(sample)


def _counts_up(sample: Sequence[tuple[str, ...]], place: int) -> bool:
    """Whether a column numbers the lines."""
    values = [number(row[place]) for row in sample]
    pairs = list(pairwise(values))
    return len(pairs) > 1 and all(one is not None and two is not None and two - one == 1 for one, two in pairs)


def _named(names: Sequence[str], figures: Sequence[int], wanted: str, option: str) -> int:
    plain = wanted.strip().casefold()
    if plain.isdecimal() and 1 <= int(plain) <= len(names):
        return int(plain) - 1
    exact = [place for place, name in enumerate(names) if name.strip().casefold() == plain]
    near = exact or [place for place in figures if plain in names[place].casefold()]
    if len(near) == 1:
        return near[0]
    listed = ", ".join(f"{place + 1} {names[place]}".strip() for place in figures[:_LISTED])
    listed += f", and {len(figures) - _LISTED} more" if len(figures) > _LISTED else ""
    raise BadEntry(f"No one column is “{wanted[:60]}”. Name one of these with --{option}: {listed}.")


def _which(names: Sequence[str], choice: Sequence[int], sample: Sequence[tuple[str, ...]]) -> BadEntry:
    if not choice:
        return BadEntry("No column of the file holds temperatures.")
    first = {place: next((row[place] for row in sample if row[place]), "") for place in choice}
    columns = [(f"{place + 1}", f"{names[place] or 'no name'} ({first[place]})") for place in choice]
    listed = "; ".join(f"{key} {label}" for key, label in columns[:_LISTED])
    listed += f"; and {len(columns) - _LISTED} more" if len(columns) > _LISTED else ""
    says = f"Which column is the shelf's? Give it with --column, by number or name: {listed}."
    return NeedsColumn(says, columns)


def unit_of(found: Table, columns: Columns, asked: Asked) -> Unit:
    """What the file, or the keeper, says that it is in. Raises `NeedsUnit` where no one does."""
    given = asked.unit.strip().upper().removeprefix("°")
    if given:
        if given not in ("C", "F"):
            raise BadEntry(f"“{asked.unit[:20]}” is no unit: write C or F.")
        return "F" if given == "F" else "C"
    name = found.names[columns.warmth] if found.names else ""
    cells = "".join(
        {unit_behind(row.cells[columns.warmth]) for row in found.rows[:SAMPLE] if len(row.cells) > columns.warmth}
    )
    line = _UNIT_LINE.search(found.above)
    for says_f, says_c in (
        (_UNIT_F.search(name), _UNIT_C.search(name)),
        ("F" in cells, "C" in cells),
        (line is not None and line[1] in "fF", line is not None and line[1] in "cC"),
        (_UNIT_F.search(found.above), _UNIT_C.search(found.above)),
    ):
        if bool(says_f) != bool(says_c):
            return "F" if says_f else "C"
    raise NeedsUnit("°C or °F? The file does not say. Add --unit C or --unit F.")
