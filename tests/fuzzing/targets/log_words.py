"""Words for `log`: an entry that a sheet can hold, or a sentence."""

from __future__ import annotations

from pathlib import Path

from rounds.cli.given import Line
from rounds.cli.intake import Intake
from rounds.errors import RoundsError
from rounds.logbook import plain, rows
from rounds.logbook.written_times import read_moment
from tests.desks.laptops import Clock, colony, laptop
from tests.fuzzing.feed import Feed
from tests.fuzzing.targets import Taker
from tests.fuzzing.targets.values import KIND_NAMES, SUBJECTS, answered, fitting, members_of, odd_text
from tests.notation import VIENNA, at


def prepared(folder: Path) -> Taker:
    """Takes a kind, a subject and `name=value` words."""
    now = at("2026-04-12 18:00")
    desk = laptop(colony(folder / "colony"), Clock(now))

    def take(content: bytes) -> None:
        feed = Feed(content)
        kind = odd_text(feed) if feed.is_one_in(16) else feed.pick(KIND_NAMES)
        about = odd_text(feed) if feed.is_one_in(4) else feed.pick(SUBJECTS)
        words = [_word(kind, feed) for _ in range(feed.number(5))]
        try:
            found = plain.members(kind, words, subject=plain.as_written)
            found["about"] = about
            if feed.is_one_in(4):
                found["at"] = read_moment(odd_text(feed), now, VIENNA).moment.isoformat()
            line = Line(0, found, lenient=True)
            taken = Intake(desk, [line], prefixes=True, sure=feed.is_one_in(2)).taken()
        except RoundsError as error:
            answered(error)
            return
        for entry in taken.entries:
            assert rows.validated(entry) == entry

    return take


def _word(kind: str, feed: Feed) -> str:
    if feed.is_one_in(8):
        return odd_text(feed)
    name = feed.pick(members_of(kind))
    value = odd_text(feed) if feed.is_one_in(4) else fitting(kind, name, feed)
    return f"{name}={','.join(map(str, value)) if isinstance(value, list) else value}"
