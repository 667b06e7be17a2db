"""A temperature logger's file: which column is what, and its readings as moments, °C and humidity. Pure.

Nothing is guessed that could be two things: of several channels, of °C and °F, of 03/04 the keeper says which, or
colony.toml does. What cannot be read is told by its line; all the rest is kept.
"""

from __future__ import annotations

import re
from collections.abc import Callable, Iterable, Sequence
from datetime import datetime
from itertools import pairwise
from typing import Final, Literal
from zoneinfo import ZoneInfo

import msgspec

from rounds.errors import BadEntry
from rounds.logbook.logger_order import ask_order
from rounds.logbook.logger_table import (
    Row,
    Table,
    decoded,
    has_figures,
    is_nothing,
    number,
    sampled,
    table,
    unit_behind,
)
from rounds.logbook.logger_times import (
    Clock,
    LeftOut,
    Written,
    WrongOrder,
    Zone,
    looks_like_clock,
    looks_like_day,
    looks_like_epoch,
    looks_like_time,
    offset_in_header,
    written,
    zone_named,
)
from rounds.logbook.logger_troubles import Troubles
from rounds.logbook.thinning import Reading
from rounds.logbook.times import DateOrder
from rounds.logbook.warmth import celsius

Unit = Literal["C", "F"]
#: So many lines say what a column holds.
_SAMPLE: Final = 300
#: So many columns are listed by name.
_LISTED: Final = 20
_COLD_C, _HOT_C = -20.0, 80.0
_SATURATED: Final = 110.0
#: Nothing that lives here, brumating or not, lies colder than this all the time: 15 to 45 °C taken for °F would.
_FROST_C: Final = 8.0
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


class LoggerFile(msgspec.Struct, frozen=True, kw_only=True):
    """What a file holds: readings in order of time, none twice, and in sentences what was not read."""

    readings: tuple[Reading, ...]
    told: tuple[str, ...]
    column: str
    unit: Unit
    lines: int
    bad: int


class Columns(msgspec.Struct, frozen=True, kw_only=True):
    """Which column holds what, by its place; `clock` is set where day and hour stand apart."""

    time: int
    clock: int | None
    warmth: int
    damp: int | None


def read_logger(content: bytes, zone: ZoneInfo, order: DateOrder, now: datetime, asked: Asked) -> LoggerFile:
    """The readings of a file. Raises `BadEntry` where it cannot be read without being told more."""
    text = decoded(content)
    _ask(text, asked)
    found = table(text)
    columns = _columns(found, asked)
    unit = _unit(found, columns, asked)
    rows = found.rows
    if asked.order is None:
        ask_order(((row.number, row.cells[columns.time]) for row in rows if len(row.cells) > columns.time), order)
    order = asked.order or order
    clock_zone: Zone = zone
    if asked.zone:
        clock_zone = zone_named(asked.zone)
    elif found.names and (offset := offset_in_header(found.names[columns.time])) is not None:
        clock_zone = offset
    troubles = Troubles()
    if found.cut:
        troubles.add("the file ends within it", found.cut)
        rows = rows[:-1]
    timed = list(_written(rows, columns, order, troubles))
    if len(timed) > 1 and _falls(timed):
        timed.reverse()
    readings = _readings(timed, columns, unit, Clock(clock_zone, hourly=_hourly(timed)), now, troubles)
    if not readings and troubles.wrong_order:
        other = "month-day" if order == "day-month" else "day-month"
        raise BadEntry(
            f"Line {troubles.wrong_order}: there is no such month (read as {order.replace('-', ', then ')}). "
            f"If the file writes {other.replace('-', ', then ')}, add --date-order {other}."
        )
    warmest = max((one.air_c for one in readings), default=_FROST_C)
    if asked.unit and unit == "F" and warmest < _FROST_C:
        raise BadEntry(f"Read as °F, the warmest of this file is {warmest:g} °C. Is it in °C (--unit C)?")
    name = found.names[columns.warmth] if found.names else f"column {columns.warmth + 1}"
    return LoggerFile(
        readings=tuple(readings),
        told=tuple(troubles.sentences(order)),
        column=name.strip() or f"column {columns.warmth + 1}",
        unit=unit,
        lines=len(found.rows),
        bad=troubles.lines,
    )


def _ask(text: str, asked: Asked) -> None:
    """Ask what a large file does not say before all of it is read. Raises `NeedsColumn`, `NeedsUnit`."""
    part, lines = sampled(text)
    if not part:
        return
    try:
        found = table(part)
        if found.rows and found.rows[0].number + _SAMPLE > lines:
            return  # the readings, or what stands above them, begin further down
        _unit(found, _columns(found, asked), asked)
    except (NeedsColumn, NeedsUnit):
        raise
    except BadEntry:
        return  # the whole of it may say more


# Which column is what


def _columns(found: Table, asked: Asked) -> Columns:
    sample = [row.cells for row in found.rows[:_SAMPLE] if len(row.cells) == found.cells and has_figures(row.cells)]
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


def _unit(found: Table, columns: Columns, asked: Asked) -> Unit:
    given = asked.unit.strip().upper().removeprefix("°")
    if given:
        if given not in ("C", "F"):
            raise BadEntry(f"“{asked.unit[:20]}” is no unit: write C or F.")
        return "F" if given == "F" else "C"
    name = found.names[columns.warmth] if found.names else ""
    cells = "".join(
        {unit_behind(row.cells[columns.warmth]) for row in found.rows[:_SAMPLE] if len(row.cells) > columns.warmth}
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


# The readings


_Timed = tuple[Row, Written]


def _written(rows: Sequence[Row], columns: Columns, order: DateOrder, troubles: Troubles) -> Iterable[_Timed]:
    for row in rows:
        if len(row.cells) <= max(columns.time, columns.warmth, columns.clock or 0):
            troubles.add("cells are missing", row.number)
            continue
        cell = row.cells[columns.time]
        if columns.clock is not None:
            cell = f"{cell} {row.cells[columns.clock]}"
        try:
            yield row, written(cell, order)
        except WrongOrder as error:
            troubles.wrong_order = troubles.wrong_order or row.number
            troubles.add(f"{error} (read as {order.replace('-', ', then ')})", row.number)
        except (ValueError, OverflowError, OSError) as error:
            troubles.add(
                str(error) if type(error) is ValueError and str(error).startswith("no ") else f"{error}", row.number
            )


def _falls(timed: Sequence[_Timed]) -> bool:
    """Whether the newest stands first."""
    steps = [two[1].wall - one[1].wall for one, two in pairwise(timed[:_SAMPLE])]
    return sum(step.total_seconds() < 0 for step in steps) * 2 > len(steps)


def _hourly(timed: Sequence[_Timed]) -> bool:
    """Whether readings are an hour apart, or more."""
    steps = sorted(abs((two[1].wall - one[1].wall).total_seconds()) for one, two in pairwise(timed[:_SAMPLE]))
    return bool(steps) and steps[len(steps) // 2] >= 3_600


def _readings(
    timed: Iterable[_Timed], columns: Columns, unit: Unit, clock: Clock, now: datetime, troubles: Troubles
) -> list[Reading]:
    latest = now.timestamp()
    found: dict[float, Reading] = {}
    outside: list[tuple[float, int]] = []
    for row, when in timed:
        try:
            at = clock.moment(when).timestamp()
        except LeftOut as error:
            troubles.left_out = True
            troubles.add(str(error), row.number)
            continue
        except (ValueError, OverflowError, OSError) as error:
            troubles.add(str(error), row.number)
            continue
        cell = row.cells[columns.warmth]
        value = number(cell)
        if value is None or is_nothing(cell):
            shown = cell[:20] or "empty"
            troubles.add(
                f"no temperature ({shown})" if is_nothing(cell) else f"“{shown}” is no temperature", row.number
            )
            continue
        if unit_behind(cell) in ("C", "F") and unit_behind(cell) != unit:
            troubles.add(f"°{unit_behind(cell)} in a column of °{unit}", row.number)
            continue
        air_c = celsius(value) if unit == "F" else round(value, 2)
        if not _COLD_C <= air_c <= _HOT_C:
            outside.append((value, row.number))
            continue
        if at > latest:
            troubles.ahead |= when.by_order
            troubles.add("the time has not come yet: check the logger's clock", row.number)
            continue
        damp = _humidity(row, columns)
        known = found.get(at)
        if known is not None and known.air_c != air_c:
            troubles.add("another temperature for a time that was read already; the first counts", row.number)
        elif known is None:
            found[at] = Reading(at, air_c, damp)
    if outside:
        low, high = min(value for value, _ in outside), max(value for value, _ in outside)
        figures = f"{low:g}" if low == high else f"{low:g} to {high:g}"
        for _, line in outside:
            troubles.add(f"{figures} °{unit} is no temperature of a shelf", line)
    return [found[at] for at in sorted(found)]


def _humidity(row: Row, columns: Columns) -> float | None:
    if columns.damp is None or len(row.cells) <= columns.damp or is_nothing(row.cells[columns.damp]):
        return None
    value = number(row.cells[columns.damp])
    # Sensors in wet air show a little more than there can be.
    return min(value, 100.0) if value is not None and 0 <= value <= _SATURATED else None
