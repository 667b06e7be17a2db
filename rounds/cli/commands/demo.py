"""`rounds demo`: an invented room that ends today, made once a day in a folder of its own."""

from __future__ import annotations

import os
import shutil
from pathlib import Path
from zoneinfo import ZoneInfo

from rounds import folders
from rounds.cli.call import Call
from rounds.cli.commands import open as opening
from rounds.errors import NotSaved, RoundsError, UsageError
from rounds.logbook.times import fixed


def run(call: Call) -> int:
    """Make today's demo colony if it is not there, and open it.

    The room keeps the time of the machine's zone, so that whoever tries it in the morning walks its morning.
    """
    from demo_colony.write import write
    from rounds.desk.machine_zone import system_zone

    options = call.options
    zone = ZoneInfo(system_zone())
    end = call.clock()
    if options.on:
        from rounds.cli.moments import reckoning_moment

        end = reckoning_moment(options.on, zone, end)
    day = fixed(end, zone).date()
    usual = folders.data(call.environment) / "demo" / f"{day}"
    folder = folders.given(options.folder) if options.folder else usual
    if options.fresh:
        _drop(folder)
    if not os.path.isfile(folder / "colony.toml"):  # noqa: PTH113 (this raises nothing)
        from rounds.desk import missing, own_journal

        # Each demo begins with the same lines: what was written in an earlier one is not its, and is not missing.
        own_journal.forget(folder)
        missing.forget(folder)
        call.say(f"Making the demo colony of {day} in {folder} …")
        write(folder, end, zone)
    elif options.folder and not _is_demo(folder):
        raise UsageError(f"{folder} holds another colony; give the demo a folder of its own")
    options.colony = str(folder)
    return opening.run(call)


def _is_demo(folder: Path) -> bool:
    """Whether its settings are the demo's, to the letter: a colony that somebody keeps has its own."""
    from demo_colony.write import settings
    from rounds.desk.colony_file import load

    try:
        return (folder / "colony.toml").read_bytes() == settings(load(folder).zone).encode()
    except (OSError, RoundsError):
        return False


def _drop(folder: Path) -> None:
    """Take an earlier demo away; anything else is left alone."""
    if not os.path.exists(folder):  # noqa: PTH110
        return
    if folder.is_symlink() or not _is_demo(folder):
        raise UsageError(
            f"{folder} is no demo colony (or its colony.toml was changed), so it was left alone; give another "
            "--folder"
        )
    try:
        shutil.rmtree(folder)
    except OSError as error:
        raise NotSaved(f"The earlier demo in {folder} could not be taken away ({error.strerror})") from error
