"""keys.toml: keys that work and are named, and a sentence for each line that is left as it was."""

from __future__ import annotations

from pathlib import Path
from typing import Final

from rounds.screens.keys import key_map
from rounds.screens.keys.register import ALLOWED
from rounds.screens.keys.screens import BY_ID, SCREENS
from tests.fuzzing.feed import Feed
from tests.fuzzing.targets import Taker
from tests.fuzzing.targets.values import odd_text

_KEYS: Final = (*sorted(ALLOWED), "?", "/", "*", "+", "esc", "return", "ctrl+c", "1", "ä", "F5", " f5 ")
_IDS: Final = tuple(BY_ID)


def prepared(folder: Path) -> Taker:
    """Takes the content of a keys.toml."""
    file = folder / "keys.toml"

    def take(content: bytes) -> None:
        feed = Feed(content)
        file.write_bytes(feed.rest() if feed.is_one_in(6) else _text(feed).encode("utf-8", "replace"))
        found = key_map.read(file)
        assert found.changed.keys() <= BY_ID.keys()
        for told in found.mistakes:
            assert told.endswith((".", "…", "?")), told
        for id in found.changed:
            assert found.label(BY_ID[id]).isprintable()
        for keys in SCREENS.values():
            held = [key for one in keys if one.id in found.changed for key in found.keys(one)]
            assert len(held) == len(set(held)), "on no screen has a key two meanings"

    return take


def _text(feed: Feed) -> str:
    lines: list[str] = []
    while not feed.is_used_up and len(lines) < 12:
        if feed.is_one_in(8):
            lines.append(odd_text(feed))
        else:
            keys = [f'"{feed.pick(_KEYS)}"' for _ in range(1 + feed.number(2))]
            lines.append(f"{feed.pick(_IDS)} = " + (f"[{', '.join(keys)}]" if len(keys) > 1 else keys[0]))
    return "\n".join(lines)
