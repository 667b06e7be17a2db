"""JSON lines for `log -`: taken whole, as entries that a sheet can hold, or refused with a sentence."""

from __future__ import annotations

import json
from pathlib import Path
from typing import Any

from rounds.cli.given import json_lines
from rounds.cli.intake import Intake
from rounds.errors import RoundsError
from rounds.logbook import rows
from tests.desks.laptops import Clock, colony, laptop
from tests.fuzzing.feed import Feed
from tests.fuzzing.targets import Taker
from tests.fuzzing.targets.values import KIND_NAMES, MEMBER_NAMES, answered, any_value, fitting, members_of
from tests.notation import at


def prepared(folder: Path) -> Taker:
    """Takes standard input, of any bytes or built."""
    desk = laptop(colony(folder / "colony"), Clock(at("2026-04-12 18:00")))

    def take(content: bytes) -> None:
        feed = Feed(content)
        given = feed.rest() if feed.is_one_in(4) else _lines(feed)
        try:
            lines = list(json_lines(given))
            taken = Intake(desk, lines, prefixes=True).taken()
        except RoundsError as error:
            answered(error)
            return
        assert len(taken.entries) + len(taken.skipped) == len(lines), "all of them or none"
        for entry in taken.entries:
            assert rows.validated(entry) == entry
            assert rows.entry_of(rows.line_of(entry)) == entry

    return take


def _lines(feed: Feed) -> bytes:
    lines: list[str] = []
    for _ in range(1 + feed.number(2)):
        kind: Any = any_value(feed) if feed.is_one_in(16) else feed.pick(KIND_NAMES)
        found = {"kind": kind}
        for name in members_of(kind):
            if feed.is_one_in(2):
                found[name] = any_value(feed) if feed.is_one_in(8) else fitting(kind, name, feed)
        if feed.is_one_in(8):
            found[feed.pick(MEMBER_NAMES)] = any_value(feed)
        lines.append(json.dumps(found, ensure_ascii=feed.is_one_in(2)))
    return "\n".join(lines).encode("utf-8", "surrogatepass") + feed.rest()
