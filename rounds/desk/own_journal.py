"""Where the journals of this user's desks lie: `journal` in the state folder, a folder for each colony's path."""

from __future__ import annotations

import contextlib
import os
import shutil
from datetime import date
from hashlib import sha256
from pathlib import Path

from rounds import folders
from rounds.sheets.disk import Disk
from rounds.sheets.journal import KEPT, sheet_of


def of(folder: Path) -> Disk:
    """The journal of the colony in a folder, made if it is not there; for this user alone."""
    journal = place(folder)
    with contextlib.suppress(OSError):  # it cannot be kept then, and holds up nothing
        for each in (journal.parent, journal):
            each.mkdir(mode=0o700, exist_ok=True)
    return Disk(str(journal))


def forget(folder: Path) -> None:
    """Throw away what was written for the colonies that lay at this path."""
    shutil.rmtree(place(folder), ignore_errors=True)


def throw_away_old(today: date) -> None:
    """Throw away the records of all colonies that are older than they are kept.

    Those of the last days on which a desk wrote are kept, as many days as that, whatever this machine's clock says
    today: it may be wrong.
    """
    days: dict[Path, dict[date, list[Path]]] = {}
    with contextlib.suppress(OSError):  # a folder that the disk does not give
        for file in _journals().glob("*/*/*.jsonl"):
            if (name := sheet_of(file.name)) is not None:
                days.setdefault(file.parent.parent, {}).setdefault(name.day, []).append(file)
    for of_colony in days.values():
        for day in sorted(of_colony)[: -KEPT.days]:
            if today - day > KEPT:
                for file in of_colony[day]:
                    with contextlib.suppress(OSError):
                        file.unlink()


def _journals() -> Path:
    return folders.state() / "journal"


def place(colony: Path) -> Path:
    """Where the journal of the colony in a folder lies."""
    return _journals() / sha256(os.fsencode(os.path.realpath(colony))).hexdigest()[:16]
