"""A temperature logger's file: its readings as moments, °C and humidity. Pure.

Nothing is guessed that could be two things: of several channels, of °C and °F, of 03/04 the keeper says which, or
colony.toml does. What cannot be read is told by its line; all the rest is kept.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from datetime import datetime
from itertools import pairwise
from typing import Final
from zoneinfo import ZoneInfo

import msgspec

from rounds.errors import BadEntry
from rounds.logbook.logger_columns import SAMPLE, Asked, Columns, NeedsColumn, NeedsUnit, Unit, columns_of, unit_of
from rounds.logbook.logger_order import ask_order
from rounds.logbook.logger_table import (
    Row,
    decoded,
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
    offset_in_header,
    written,
    zone_named,
)
from rounds.logbook.logger_troubles import Troubles
from rounds.logbook.thinning import Reading
from rounds.logbook.times import DateOrder
from rounds.logbook.warmth import celsius

_COLD_C, _HOT_C = -20.0, 80.0
_SATURATED: Final = 110.0
#: Nothing that lives here, brumating or not, lies colder than this all the time: 15 to 45 °C taken for °F would.
_FROST_C: Final = 8.0


class LoggerFile(msgspec.Struct, frozen=True, kw_only=True):
    """What a file holds: readings in order of time, none twice, and in sentences what was not read."""

    readings: tuple[Reading, ...]
    told: tuple[str, ...]
    column: str
    unit: Unit
    lines: int
    bad: int


def read_logger(content: bytes, zone: ZoneInfo, order: DateOrder, now: datetime, asked: Asked) -> LoggerFile:
    """The readings of a file. Raises `BadEntry` where it cannot be read without being told more."""
    text = decoded(content)
    _ask(text, asked)
    found = table(text)
    columns = columns_of(found, asked)
    unit = unit_of(found, columns, asked)
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
        if found.rows and found.rows[0].number + SAMPLE > lines:
            return  # the readings, or what stands above them, begin further down
        unit_of(found, columns_of(found, asked), asked)
    except (NeedsColumn, NeedsUnit):
        raise
    except BadEntry:
        return  # the whole of it may say more


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
    steps = [two[1].wall - one[1].wall for one, two in pairwise(timed[:SAMPLE])]
    return sum(step.total_seconds() < 0 for step in steps) * 2 > len(steps)


def _hourly(timed: Sequence[_Timed]) -> bool:
    """Whether readings are an hour apart, or more."""
    steps = sorted(abs((two[1].wall - one[1].wall).total_seconds()) for one, two in pairwise(timed[:SAMPLE]))
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
