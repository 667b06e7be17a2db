"""Days as people write them, and how a written time comes apart into its day, its hour and its offset."""

from __future__ import annotations

import re
from datetime import date, time, timedelta
from typing import Final, Literal, NamedTuple

from rounds.logbook.times import DateOrder

#: Which side of today a day without a year lies on.
Lies = Literal["behind", "ahead"]

_WEEKDAYS: Final = ("monday", "tuesday", "wednesday", "thursday", "friday", "saturday", "sunday")
_MONTHS: Final = (
    "january",
    "february",
    "march",
    "april",
    "may",
    "june",
    "july",
    "august",
    "september",
    "october",
    "november",
    "december",
)
TIME_WORDS: Final = {"noon": time(12)}
#: Years of two digits are of this century; years of four are those of people now alive who keep reptiles.
_CENTURY: Final = 2000
_YEARS: Final = range(1950, 2100)

_OFFSET: Final = re.compile(r"(?<=\d)(z|[+-]\d{2}:?\d{2})$")
_ISO: Final = re.compile(r"(\d{4}-\d{2}-\d{2})[t ](?=\d)")
_CLOCK: Final = re.compile(
    r"(?:(?P<hour>\d{1,2})(?:(?P<mark>[:.h])(?P<minute>\d{2})(?::(?P<second>\d{2})(?:\.\d+)?)?)?"
    r"(?P<half> ?[ap]\.?m\.?)?(?P<h> ?h)?|(?P<four>\d{3,4}))"
)
_DIGITS: Final = re.compile(r"(\d{1,2})([./])(\d{1,2})(?:\2(\d{4}|\d{2})|\.)?")
_ISO_DAY: Final = re.compile(r"(\d{4})-(\d{1,2})-(\d{1,2})")
_WHOLE_MONTH: Final = re.compile(r"(\d{4})(?:-(\d{1,2}))?")
_NAMED: Final = re.compile(r"(\d{1,2})(?:st|nd|rd|th|\.)?[ -]?([a-z]{3,9})\.?(?:[ -](\d{4}))?")
_NAMED_FIRST: Final = re.compile(r"([a-z]{3,9})\.? (\d{1,2})(?:st|nd|rd|th)?(?: (\d{4}))?")
_MONTH_ALONE: Final = re.compile(r"([a-z]{3,9})\.? (\d{4})")


class Parts(NamedTuple):
    """A written time: the words of its day, its hour, its offset, and all of it in plain small letters."""

    text: str
    words: str
    clock: time | None
    offset: str


class DayRead(NamedTuple):
    """A day; `about` when only a month or a year was written, `weekday` when no more than its weekday was.

    `yearless` when a day and a month were written without their year.
    """

    day: date
    about: bool = False
    weekday: bool = False
    yearless: bool = False


def parts_of(text: str) -> Parts:
    """A written time in its parts. What makes no sense as an hour stays with the words of the day."""
    plain = " ".join(text.casefold().replace(",", " ").split())
    plain = re.sub(r"^(?:on|at) ", "", plain)
    rest = _ISO.sub(r"\1 ", plain)
    offset = ""
    found = _OFFSET.search(rest)
    if found is not None and ":" in rest[: found.start()]:
        offset, rest = found[1], rest[: found.start()]
    words, _, last = rest.rpartition(" ")
    if last in ("am", "pm", "a.m.", "p.m.", "h") and words:
        words, _, hour = words.rpartition(" ")
        last = f"{hour} {last}"
    words = re.sub(r"(?:^| )at$", "", words)
    clock = _clock(last, words)
    if clock is None:
        return Parts(plain, rest, None, offset)
    return Parts(plain, words, clock, offset)


def _clock(word: str, before: str) -> time | None:
    """The hour that the last word of a written time names; None when it names none."""
    if word in TIME_WORDS:
        return TIME_WORDS[word]
    found = _CLOCK.fullmatch(word)
    if found is None:
        return None
    if found["four"]:
        # 0730 and 730 are an hour; 2024 may be one or a year: behind a day that may have a year it is that.
        number = int(found["four"])
        yearless = before in ("today", "yesterday") or before in _WEEKDAYS_BY_WORD or before.startswith("-")
        if number in _YEARS and not yearless and not re.search(r"\d{4}", before):
            return None
        return _time(number // 100, number % 100, 0)
    hour, minute = int(found["hour"]), found["minute"]
    if found["mark"] == "." and (not before or minute is None):
        return None  # 12.10 alone is a day
    if minute is None and not found["half"] and not found["h"] and before and not _may_end(before):
        return None  # the 3 of "nov 3"
    if found["half"]:
        if not 1 <= hour <= 12:
            return None
        hour = hour % 12 + (12 if "p" in found["half"] else 0)
    return _time(hour, int(minute or 0), int(found["second"] or 0))


def _may_end(words: str) -> bool:
    """Whether the words of a day are whole without the number behind them."""
    if words.split()[-1] not in _MONTHS_BY_WORD:
        return True
    return re.search(r"\d", words) is not None


def _time(hour: int, minute: int, second: int) -> time | None:
    return time(hour, minute, second) if hour < 24 and minute < 60 and second < 60 else None


def day_in(text: str, today: date, order: DateOrder, lies: Lies) -> DayRead:
    """The day that words name. Raises `ValueError`, with what is wrong if that can be said."""
    words = text.split()
    named: int | None = None
    near: date | None = None
    rest = list(words)
    if rest and rest[0] in ("today", "yesterday", "tomorrow"):
        near = today + timedelta(days={"today": 0, "yesterday": -1, "tomorrow": 1}[rest.pop(0)])
    if rest and rest[0] == "last" and len(rest) == 2 and rest[1] in _WEEKDAYS_BY_WORD:
        back = (today.weekday() - _WEEKDAYS_BY_WORD[rest[1]] - 1) % 7 + 1
        return DayRead(today - timedelta(days=back))
    if rest and rest[0] in _WEEKDAYS_BY_WORD:
        named = _WEEKDAYS_BY_WORD[rest.pop(0)]
    if rest:
        read = _date(" ".join(rest), today, order, lies)
    elif near is not None:
        read = DayRead(near)
    elif named is not None:
        step = (named - today.weekday()) % 7 if lies == "ahead" else -((today.weekday() - named) % 7)
        read = DayRead(today + timedelta(days=step), weekday=True)
    else:
        raise ValueError("")
    if named is not None and not read.about and read.day.weekday() != named:
        raise ValueError(f"{said_day(read.day, today)[4:]} is a {_WEEKDAYS[read.day.weekday()].capitalize()}")
    if near is not None and read.day != near:
        raise ValueError(f"{words[0]} is {said_day(near, today)}")
    return read


def _date(text: str, today: date, order: DateOrder, lies: Lies) -> DayRead:
    found = _ISO_DAY.fullmatch(text)
    if found:
        return DayRead(_made(int(found[1]), int(found[2]), int(found[3])))
    found = _WHOLE_MONTH.fullmatch(text)
    if found and int(found[1]) in _YEARS:
        return DayRead(_made(int(found[1]), int(found[2] or 1), 1), about=True)
    found = _DIGITS.fullmatch(text)
    if found:
        first, second = int(found[1]), int(found[3])
        day, month = (first, second) if order == "day-month" else (second, first)
        if not 1 <= month <= 12:
            raise ValueError(f"there is no month {month} (this colony writes {order.replace('-', ', then ')})")
        year = found[4] and (int(found[4]) if len(found[4]) == 4 else _CENTURY + int(found[4]))
        return DayRead(_dated(day, month, year or None, today, lies), yearless=not year)
    found = _NAMED.fullmatch(text)
    if found and found[2] in _MONTHS_BY_WORD:
        year = found[3] and int(found[3])
        return DayRead(
            _dated(int(found[1]), _MONTHS_BY_WORD[found[2]], year or None, today, lies), yearless=not year
        )
    found = _NAMED_FIRST.fullmatch(text)
    if found and found[1] in _MONTHS_BY_WORD:
        year = found[3] and int(found[3])
        return DayRead(
            _dated(int(found[2]), _MONTHS_BY_WORD[found[1]], year or None, today, lies), yearless=not year
        )
    found = _MONTH_ALONE.fullmatch(text)
    if found and found[1] in _MONTHS_BY_WORD and int(found[2]) in _YEARS:
        return DayRead(_made(int(found[2]), _MONTHS_BY_WORD[found[1]], 1), about=True)
    raise ValueError("")


def _dated(day: int, month: int, year: int | None, today: date, lies: Lies) -> date:
    """A day of a year, or without one the last such day (the next one, if it lies ahead)."""
    if year is not None:
        return _made(year, month, day)
    step = 1 if lies == "ahead" else -1
    for number in range(0, 9 * step, step):  # 29 Feb may be eight years away
        try:
            found = date(today.year + number, month, day)
        except ValueError:
            continue
        if (found >= today) if lies == "ahead" else (found <= today):
            return found
    raise ValueError("there is no such day")


def _made(year: int, month: int, day: int) -> date:
    try:
        return date(year, month, day)
    except ValueError as error:
        raise ValueError("there is no such day") from error


def said_day(day: date, today: date) -> str:
    """`Tue 24 Nov`, with the year when it is another year."""
    year = f" {day.year:04}" if day.year != today.year or day > today else ""
    return f"{_WEEKDAYS[day.weekday()][:3].capitalize()} {day.day} {_MONTHS[day.month - 1][:3].capitalize()}{year}"


def _by_word(names: tuple[str, ...], more: dict[str, int]) -> dict[str, int]:
    """The number of each name by its whole and by its first letters, three at least."""
    found = {name[:length]: place for place, name in enumerate(names) for length in range(3, len(name) + 1)}
    return found | more


_WEEKDAYS_BY_WORD: Final = _by_word(_WEEKDAYS, {})
_MONTHS_BY_WORD: Final = {word: place + 1 for word, place in _by_word(_MONTHS, {}).items()}
