"""Files of the user's state folder, whatever they hold: a desk has a name that a sheet can carry, and keeps it."""

from __future__ import annotations

from pathlib import Path
from typing import Final

from rounds.desk import writer_lock
from rounds.sheets.watch import DESK
from tests.fuzzing.feed import Feed
from tests.fuzzing.targets import Taker

_NAMES: Final = (b"rack-k3x9", b"rack-k3x9\n", b"\n", b"../x\n", b"-rack\n", b"RACK\n", b"r" * 90, b"\xff", b"\0")


def prepared(folder: Path) -> Taker:
    """Takes the content of the file that has the installation's name."""
    writer_lock.installation(folder)
    (file,) = folder.iterdir()

    def take(content: bytes) -> None:
        feed = Feed(content)
        file.write_bytes(feed.pick(_NAMES) + feed.rest())
        name = writer_lock.installation(folder)
        assert DESK.fullmatch(name)
        assert writer_lock.installation(folder) == name
        assert list(folder.iterdir()) == [file], "nothing is left beside it"

    return take
