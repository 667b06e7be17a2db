"""Labels and letters: they find subjects or nothing, and any text is shown plain and in its columns."""

from __future__ import annotations

from pathlib import Path

from rounds.desk.subjects import Names
from rounds.errors import BadEntry
from rounds.logbook.entries import Arrived, EnclosureSetUp
from rounds.logbook.entries.base import SUBJECT
from rounds.logbook.plain import slug
from rounds.paper.plain_text import cell as celled
from rounds.paper.plain_text import padded, shown, uncelled, wrapped
from rounds.screens.prompts.finding import find
from tests.desks.laptops import Clock, colony, laptop
from tests.fuzzing.feed import Feed
from tests.fuzzing.targets import Taker
from tests.fuzzing.targets.values import answered, odd_text
from tests.hostile.hostile import cast, safe, too_wide
from tests.notation import at


def prepared(folder: Path) -> Taker:
    """Takes what a scanner types, or a keeper."""
    desk = laptop(colony(folder / "colony"), Clock(at("2026-04-12 18:00")))
    desk.record(*cast()[:12])
    standing, names = desk.standing, Names(desk.standing)
    tags = [entry.tag for entry in cast()[:12] if isinstance(entry, Arrived | EnclosureSetUp)]

    def take(content: bytes) -> None:
        feed = Feed(content)
        text = (
            feed.pick(tags)[: feed.number(99)] + feed.text()
            if feed.is_one_in(4)
            else odd_text(feed)[:200] + feed.text()
        )
        for found in find(standing, text):
            assert found.value in standing.pages
        try:
            assert SUBJECT.fullmatch(names.find(text))
        except BadEntry as error:
            answered(error)
        own = slug(text)
        assert not own or SUBJECT.fullmatch(f"animal/{own}")
        assert uncelled(celled(text)) == text
        plain = shown(text)
        safe(plain, columns=None)
        columns = 4 + feed.number(76)
        assert too_wide("\n".join([padded(plain, columns), *wrapped(plain, columns)]), columns) == []

    return take
