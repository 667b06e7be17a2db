"""The time zone of this machine, as the one offered for a new colony's room."""

from __future__ import annotations

import os
from collections.abc import Mapping
from pathlib import Path
from zoneinfo import ZoneInfo

from rounds.errors import UsageError


def system_zone() -> str:
    """The IANA name of the machine's zone, such as Europe/Vienna; UTC when the machine does not say."""
    try:
        return told_zone(os.environ)
    except UsageError:
        return "UTC"


def told_zone(environment: Mapping[str, str], root: Path = Path("/etc")) -> str:
    """The IANA name of the machine's zone: TZ, else the zone file the system links to. Raises `UsageError`."""
    for name in (
        environment.get("TZ", "").lstrip(":"),
        os.path.realpath(root / "localtime").rpartition("/zoneinfo/")[2],
        _named(root / "timezone"),
    ):
        name = name.removeprefix("posix/").removeprefix("right/")
        if name and _is_zone(name):
            return name
    raise UsageError("This system does not tell its time zone: give --time-zone, such as Europe/Vienna")


def _is_zone(name: str) -> bool:
    """TZ may also hold a rule such as CET-1CEST, or a path, which name no zone."""
    try:
        return ZoneInfo(name).key == name
    except (KeyError, ValueError, OSError):
        return False


def _named(file: Path) -> str:
    try:
        return file.read_text("ascii").strip()
    except (OSError, ValueError):
        return ""
