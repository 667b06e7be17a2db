"""`rounds new`: a colony's folder with its colony.toml."""

from __future__ import annotations

import os
from collections.abc import Mapping
from pathlib import Path

from rounds import folders
from rounds.cli.call import Call
from rounds.desk.colony_file import write_new
from rounds.errors import UsageError


def run(call: Call) -> int:
    """Write the settings of a new colony, and say how to go on."""
    options = call.options
    folder = folders.given(options.folder) if options.folder else call.colony
    zone = options.time_zone or system_zone(call.environment)
    path = write_new(folder, options.name or folder.resolve().name or "Colony", zone)
    if options.json:
        call.json({"colony": str(folder), "settings": str(path), "time_zone": zone})
    else:
        call.print(str(folder))
    here = "" if folder == call.colony else f" --colony {folder}"
    call.say(
        f"A new colony in {folder}, room time {zone}. Go on with `rounds{here}`: it sets up the first enclosure."
    )
    return 0


def system_zone(environment: Mapping[str, str], root: Path = Path("/etc")) -> str:
    """The IANA name of the system's time zone: TZ, else the zone file the system links to. Raises `UsageError`."""
    asked = environment.get("TZ", "").lstrip(":")
    if asked and not asked.startswith("/") and _is_zone(asked):
        return asked
    link = root / "localtime"
    for found in (os.path.realpath(link), _named(root / "timezone")):
        _, mark, name = found.rpartition("zoneinfo/")
        name = name if mark else found
        if name and not name.startswith("/"):
            return name.removeprefix("posix/").removeprefix("right/")
    raise UsageError("This system does not tell its time zone: give --time-zone, such as Europe/Vienna")


def _is_zone(name: str) -> bool:
    """TZ may also hold a rule such as CET-1CEST, which names no zone."""
    from zoneinfo import ZoneInfo

    try:
        return ZoneInfo(name).key == name
    except (KeyError, ValueError, OSError):
        return False


def _named(file: Path) -> str:
    try:
        return file.read_text("ascii").strip()
    except (OSError, ValueError):
        return ""
