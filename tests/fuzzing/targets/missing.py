"""What is noted as missing, whatever its file holds: told, or taken for nothing; what is noted then comes back."""

from __future__ import annotations

import json
from pathlib import Path

from rounds.desk.missing import Missing
from rounds.logbook import rows
from tests.fuzzing.feed import Feed
from tests.fuzzing.targets import Taker
from tests.fuzzing.targets.harm import harmed
from tests.fuzzing.targets.lines import ENTRIES


def prepared(folder: Path) -> Taker:
    """Takes the content of the file."""
    state, colony = folder / "state", folder / "colony"
    first = Missing(state, colony)
    first.note(ENTRIES[:3], {"sheets/2026/2026-03-10.rack.jsonl": 3})
    (file,) = (state / "missing").iterdir()
    whole = file.read_bytes()

    def take(content: bytes) -> None:
        feed = Feed(content)
        file.write_bytes(feed.rest() if feed.is_one_in(4) else harmed(whole, feed))
        found = Missing(state, colony)
        assert found.sentence.isprintable()
        found.came_back([ENTRIES[0].id])
        found.note([ENTRIES[5]], {})
        again = Missing(state, colony)
        assert again.entries == found.entries
        json.dumps([rows.plain_line(entry).decode() for entry in again.entries])

    return take
