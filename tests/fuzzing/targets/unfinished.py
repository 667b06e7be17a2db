"""What was being typed when the app ended, whatever its file holds: offered, or said to be unreadable."""

from __future__ import annotations

import json
from pathlib import Path
from typing import Final

from rounds.desk.unfinished import UnfinishedFile
from tests.fuzzing.feed import Feed
from tests.fuzzing.targets import Taker
from tests.fuzzing.targets.values import MOMENTS, any_value, odd_text

_MEMBERS: Final = ("by", "at", "about", "asked", "held", "words")


def prepared(folder: Path) -> Taker:
    """Takes the content of the file of one desk, and of another that has ended."""
    state, colony = folder / "state", folder / "colony"

    def take(content: bytes) -> None:
        feed = Feed(content)
        file = UnfinishedFile(state, colony, "rack")
        file.take()
        (place,) = (state / "unfinished").iterdir()
        for name in ("rack", "office"):
            (place / f"{name}.json").write_bytes(feed.rest() if feed.is_one_in(4) else _pieces(feed))
        file.close()
        file = UnfinishedFile(state, colony, "rack")
        found, told = file.take()
        assert told == "" or "cannot be read" in told
        for piece in found:
            assert piece.bounded().same(piece)
        file.keep(found)
        file.close()
        again = UnfinishedFile(state, colony, "rack")
        assert again.take() == (found, ""), "what is kept comes back, once"
        again.keep([])
        again.close()

    return take


def _pieces(feed: Feed) -> bytes:
    pieces: list[object] = []
    for _ in range(feed.number(3)):
        piece = {name: odd_text(feed)[:200] for name in _MEMBERS} | {"at": feed.pick(MOMENTS), "held": {}}
        if feed.is_one_in(2):
            piece["held"] = {odd_text(feed)[:200]: odd_text(feed)[:200]}
        if feed.is_one_in(4):
            piece[feed.pick(_MEMBERS)] = any_value(feed)
        pieces.append(piece)
    return json.dumps(pieces).encode("utf-8", "surrogatepass")
