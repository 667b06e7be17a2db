"""`rounds demo`: an invented room that ends today, made once a day in a folder of its own."""

from __future__ import annotations

import shutil
from pathlib import Path

from rounds.cli.call import Call, data_folder
from rounds.cli.commands import open as opening
from rounds.errors import NotSaved, UsageError
from rounds.logbook.times import fixed


def run(call: Call) -> int:
    """Make today's demo colony if it is not there, and open it."""
    from demo_colony.people import ROOM_NAME, ZONE
    from demo_colony.write import write

    options = call.options
    end = call.clock()
    if options.on:
        from rounds.cli.moments import reckoning_moment

        end = reckoning_moment(options.on, ZONE, end)
    day = fixed(end, ZONE).date()
    folder = (
        Path(options.folder).expanduser() if options.folder else data_folder(call.environment) / "demo" / f"{day}"
    )
    if options.fresh:
        _drop(folder, ROOM_NAME)
    if not (folder / "colony.toml").is_file():
        call.say(f"Making the demo colony of {day} in {folder} …")
        write(folder, end)
    elif options.folder and not _is_demo(folder, ROOM_NAME):
        raise UsageError(f"{folder} holds another colony; give the demo a folder of its own")
    options.colony = str(folder)
    return opening.run(call)


def _is_demo(folder: Path, name: str) -> bool:
    from rounds.rules.loader import load

    return load(folder).name == name


def _drop(folder: Path, name: str) -> None:
    """Take an earlier demo away; anything else is left alone."""
    if not folder.exists():
        return
    if folder.is_symlink() or not (folder / "colony.toml").is_file() or not _is_demo(folder, name):
        raise UsageError(f"{folder} is no demo colony, so it was left alone; give another --folder")
    try:
        shutil.rmtree(folder)
    except OSError as error:
        raise NotSaved(f"The earlier demo in {folder} could not be taken away ({error.strerror})") from error
