"""The fields of a form: what each fills, how it is read, and what is said back of a time or a day."""

from __future__ import annotations

import re
from collections.abc import Callable, Sequence
from datetime import datetime
from typing import Any, Final, Literal, NamedTuple, get_args
from zoneinfo import ZoneInfo

from rounds.errors import BadEntry
from rounds.logbook.entries.base import Grams
from rounds.logbook.times import DateOrder
from rounds.logbook.warmth import figure_in
from rounds.logbook.written_figures import of_unit
from rounds.logbook.written_times import Lies, read_day, read_moment, said_day, said_moment
from rounds.screens.prompts.asks import Found

Sort = Literal["text", "figure", "whole", "date", "choice", "ticks", "subject", "when", "clock"]

#: The keys of ticks: the digits for the first ten, letters for those after them.
TICK_KEYS: Final = "1234567890abcdefghijklmnopqrstuvwxyz"


class Field(NamedTuple):
    """One field: the member of the entry it fills, its label, and how it is read."""

    name: str
    label: str
    sort: Sort = "text"
    required: bool = False
    options: tuple[str, ...] = ()
    unit: str = ""
    hint: str = ""
    given: str = ""
    find: Callable[[str], Sequence[Found]] | None = None
    #: The member that says that a day is only about right: set when no more than a month or a year was written.
    about: str = ""
    #: Which side of today a day without a year lies on.
    lies: Lies = "behind"
    #: The largest figure that an entry takes.
    most: float | None = None
    #: Whether it may hold several lines.
    several: bool = False
    #: What is said when it is needed and empty.
    missing: str = ""


#: The heaviest weight that an entry takes, in g.
MOST_GRAMS: Final[float] = get_args(Grams)[1].le
WHEN = Field("when", "when", "when", hint="empty: now · yesterday 18 · 7:30 · 3 nov 18:00 · -2d · mon 8")


class Unreadable(Exception):
    """A field cannot be read; the sentence says how to write it."""


class Clockwork(NamedTuple):
    """What times and sums are read by: now, the room's zone, the colony's order of day and month, its currency."""

    now: datetime
    zone: ZoneInfo
    order: DateOrder = "day-month"
    currency: str = ""


def value_of(field: Field, text: str, clock: Clockwork) -> Any:
    """What a field's text means; None when it is empty. Raises `Unreadable`."""
    text = text.strip()
    if not text:
        return None
    if field.sort == "figure":
        return _figure(field, text)
    if field.sort == "whole":
        if not re.fullmatch(r"\d{1,6}", text):
            raise Unreadable(f"{field.label}: write a whole number, such as 18.")
        return int(text)
    if field.sort == "clock":
        return _clock(field, text)
    try:
        if field.sort == "date":
            return read_day(text, clock.now.date(), clock.order, field.lies, field.label).day
        if field.sort == "when":
            return read_moment(text, clock.now, clock.zone, clock.order, latest=clock.now).moment
    except BadEntry as error:
        raise Unreadable(str(error)) from error
    return text


def is_about(field: Field, text: str, clock: Clockwork) -> bool:
    """Whether a day field names no more than a month or a year."""
    try:
        return read_day(text, clock.now.date(), clock.order, field.lies).about
    except BadEntry:
        return False


def said_back(field: Field, text: str, clock: Clockwork) -> str:
    """What a time or a day was read as, as it is shown below its field; empty while it cannot be read."""
    if field.sort not in ("when", "date") or not text.strip():
        return ""
    try:
        if field.sort == "when":
            read = read_moment(text, clock.now, clock.zone, clock.order, latest=clock.now)
            return said_moment(read.moment, clock.now, clock.zone) + (f" ({read.remark})" if read.remark else "")
        day = read_day(text, clock.now.date(), clock.order, field.lies)
        about = " (about: no day was given)" if day.about else ""
        return said_day(day.day, clock.now.date()) + about
    except BadEntry:
        return ""


def _clock(field: Field, text: str) -> str:
    found = re.fullmatch(r"(\d{1,2})(?:[:.]?(\d\d))?", text)
    if found is None or int(found[1]) > 23 or int(found[2] or 0) > 59:
        raise Unreadable(f"{field.label}: write an hour, such as 10:30.")
    return f"{int(found[1]):02}:{int(found[2] or 0):02}"


def _figure(field: Field, text: str) -> float:
    if either := of_unit(text, field.unit):
        raise Unreadable(f"{field.label}: {either}")
    figure = figure_in(text, field.unit) if re.match(r"\d{1,8}([.,]\d{1,3})?(\D|$)", text) else None
    if figure is None:
        raise Unreadable(f"{field.label}: write a number, such as 452 or 38.5.")
    if field.most is not None and figure > field.most:
        unit = f" {field.unit}" if field.unit else ""
        raise Unreadable(f"{field.label}: {figure:g}{unit} is too much: at most {field.most:g}{unit}.")
    return figure
