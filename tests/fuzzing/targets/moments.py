"""Moments and days as people write them: what is read is said back so that it reads back to the same."""

from __future__ import annotations

from pathlib import Path
from typing import Final

from rounds.cli.moments import reckoning_moment
from rounds.errors import RoundsError
from rounds.logbook.times import DateOrder
from rounds.logbook.written_times import Lies, read_day, read_moment, said_day, said_moment
from tests.fuzzing.feed import Feed
from tests.fuzzing.targets import Taker
from tests.fuzzing.targets.values import answered
from tests.notation import VIENNA, at

#: On plain days, and on those on which the room's clock changes.
_NOW: Final = tuple(map(at, ("2026-04-12 18:00", "2026-03-29 03:30", "2026-10-25 12:00", "2024-02-29 00:00")))
_ORDERS: Final[tuple[DateOrder, ...]] = ("day-month", "month-day")
_LIES: Final[tuple[Lies, ...]] = ("behind", "ahead")
_WORDS: Final = (
    *("today", "yesterday", "tomorrow", "last", "mon", "sunday", "at", "on", "now", "ago", "in", "noon"),
    *("3", "nov", "november", "2026", "2024-02-29", "3/4", "03.04.26", "24 nov", "feb 29", "may 2024", "12.10"),
    *("7:30", "0730", "18", "7 pm", "12 a.m.", "2:30", "02:30+01:00", "24:00", "18h", "7.30", "23:59:59.9", "Z"),
    *("-2d", "+2w", "2 weeks ago", "in 3 days", "-9999 w", "90 min ago", "1e9", "²", "٣", "31", "0", "9999"),
    *("T", "t", ":", ".", "-", "/", ",", "+"),
)


def prepared(_folder: Path) -> Taker:
    """Takes a written moment or day."""
    return take


def take(content: bytes) -> None:
    """One text, read as a moment, as a day, and as what `--on` names."""
    feed = Feed(content)
    now, order, lies = feed.pick(_NOW), feed.pick(_ORDERS), feed.pick(_LIES)
    text = feed.text() if feed.is_one_in(3) else _text(feed)
    try:
        moment = read_moment(text, now, VIENNA, order).moment
        said = said_moment(moment, now, VIENNA)
        assert moment.utcoffset() is not None
        assert read_moment(said, now, VIENNA, order).moment == moment, said
    except RoundsError as error:
        answered(error)
    try:
        day = read_day(text, now.date(), order, lies).day
        assert read_day(said_day(day, now.date()), now.date(), order).day == day
    except RoundsError as error:
        answered(error)
    try:
        assert reckoning_moment(text, VIENNA, now, order).utcoffset() is not None
    except RoundsError as error:
        answered(error)


def _text(feed: Feed) -> str:
    words: list[str] = []
    while not feed.is_used_up and len(words) < 8:
        words += [feed.pick(_WORDS), "" if feed.is_one_in(4) else " "]
    return "".join(words)
