"""A logger's file onto a shelf from the screen: which file, its column, unit and days, then what is new in it."""

from __future__ import annotations

from typing import Final

from msgspec.structs import replace

from rounds.desk.logger import Coming, coming_of, content_of, files_in, told_of
from rounds.errors import BadEntry
from rounds.logbook.logger_columns import Asked, NeedsColumn, NeedsUnit
from rounds.logbook.logger_order import NeedsOrder
from rounds.screens.prompts.asks import Talk
from rounds.screens.prompts.choices import Choice, Confirm, Option
from rounds.screens.prompts.saving import Save
from rounds.screens.prompts.words import Words
from rounds.screens.record.host import Host

#: Folders that are looked through for files, the keeper's own first.
_FOLDERS: Final = ("~", "~/Downloads", "~/Documents", "~/Desktop", ".")
#: So many files are offered, each by its digit.
_OFFERED: Final = 9
#: So many sentences about a file are shown; the rest is counted.
_SHOWN: Final = 6
_ORDERS: Final = [Option("d", "3 April", "day-month"), Option("m", "March 4", "month-day")]
_LETTERS: Final = "abcdefghijklmnopqrstuvwxyz"


def logger(screen: Host, shelf: str) -> Talk:
    """Ask for the file, by its path or by the digit of one found; a folder shows the files in it."""
    desk, name = screen.shift.desk, screen.shift.desk.standing.name(shelf)
    folder = ""
    while True:
        found = (
            files_in(folder)
            if folder
            else [f"{one}/{path}".removeprefix("./") for one in _FOLDERS for path in files_in(one)]
        )
        typed = yield Words(
            f"Logger's file for {name}: path, or a folder",
            ready=list(dict.fromkeys(found))[:_OFFERED],
            most=1_000,
        )
        path = f"{folder}/{typed}" if folder and typed in found else typed
        if files_in(path):
            folder = path
            continue
        break
    content, asked = content_of(path), Asked()
    title = path.replace("\\", "/").rpartition("/")[2]
    while True:
        try:
            coming: Coming = coming_of(desk, shelf, content, title, asked)
            break
        except NeedsColumn as needs:
            options = [
                Option(_LETTERS[place], label, number)
                for place, (number, label) in enumerate(needs.columns[: len(_LETTERS)])
            ]
            column = yield Choice("Which column is the shelf's", options)
            asked = replace(asked, column=column)
        except NeedsUnit:
            unit = yield Choice("The file is in", [Option("c", "°C", "C"), Option("f", "°F", "F")])
            asked = replace(asked, unit=unit)
        except NeedsOrder:
            order = yield Choice("3/4 in this file is", _ORDERS)
            asked = replace(asked, order=order)
    told = told_of(desk, coming)
    if not coming.drafts:
        raise BadEntry(" ".join(told[:_SHOWN]))
    more = [f"and {len(told) - _SHOWN} more such lines"] if len(told) > _SHOWN else []
    sure = yield Confirm([*told[:_SHOWN], *more], yes="write it", no="write nothing", style="ask")
    if not sure:
        screen.say("Nothing was written.", "quiet")
        return
    saved = yield Save(*coming.drafts)
    if saved:
        screen.say(told[0], "good")
