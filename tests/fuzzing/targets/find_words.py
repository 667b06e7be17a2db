"""Words for `find`: conditions that can be asked and said back, or a sentence."""

from __future__ import annotations

from pathlib import Path
from typing import Final

from rounds.desk.subjects import Names
from rounds.errors import BadEntry
from rounds.logbook.conditions import figure_names, in_words
from rounds.logbook.find_words import conditions
from rounds.logbook.words import BEHAVIOURS, SIGNS
from rounds.paper.plain_text import shown
from rounds.sheets.find import matching, query_of
from tests.desks.laptops import ROOM, Clock, colony, laptop
from tests.fuzzing.feed import Feed
from tests.fuzzing.targets import Taker
from tests.fuzzing.targets.values import DAYS, KIND_NAMES, SUBJECTS, answered, odd_text
from tests.notation import at, logbook

_MORE: Final = """
2026-04-11 AK
08:00 wattle weighed grams=452 note="dusty"
08:01 b3     cleaned
08:02 wattle eggs_laid clutch=w-1 count=20
08:03 wattle behaviour_seen behaviour="nest digging"
"""
_STARTS: Final = ("since", "until", "on", "in", "by", "about", "kind", "note", "today", "yesterday", "from", "to")
_SIGNS: Final = ("<", ">", "=", "<=", "≥", "under", "over", "=>", "<>", "below")
_WORDS: Final = (
    *_STARTS,
    *_SIGNS,
    *KIND_NAMES,
    *SUBJECTS,
    *DAYS,
    *figure_names(),
    *SIGNS,
    *BEHAVIOURS,
    *("300", "300g", "-1,5", "1 oct", "3/4", "mon", "2026", "AK", '"', '"nest digging"', "g", "handed over"),
)


def prepared(folder: Path) -> Taker:
    """Takes a line of words."""
    page = ROOM + _MORE
    now = at("2026-04-12 18:00")
    standing = laptop(colony(folder / "colony", page), Clock(now)).standing
    entries, names = logbook(page), Names(standing)

    def take(content: bytes) -> None:
        feed = Feed(content)
        line = feed.text(160) if feed.is_one_in(3) else _line(feed)
        try:
            wanted = conditions(line, names, now.date())
        except BadEntry as error:
            answered(error)
            return
        found = matching(entries, query_of(wanted))
        assert all(not wanted.kinds or entry.__struct_config__.tag in wanted.kinds for entry in found)
        assert all(set(wanted.subjects) <= set(entry.subjects()) for entry in found)
        assert all(wanted.first is None or entry.at.date() >= wanted.first for entry in found)
        assert shown(in_words(wanted, standing.name))

    return take


def _line(feed: Feed) -> str:
    words: list[str] = []
    while not feed.is_used_up and len(words) < 12:
        words.append(odd_text(feed) if feed.is_one_in(8) else feed.pick(_WORDS))
        words.append("" if feed.is_one_in(4) else " ")
    return "".join(words)
