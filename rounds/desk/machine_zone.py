"""The time zone of this machine, as the one offered for a new colony's room."""

from __future__ import annotations

import os
from pathlib import Path
from zoneinfo import ZoneInfo


def system_zone() -> str:
    """The IANA name of the machine's zone, such as Europe/Vienna; UTC when the machine does not say."""
    for name in _names():
        try:
            ZoneInfo(name)
        except (KeyError, ValueError, OSError):
            continue
        return name
    return "UTC"


def _names() -> list[str]:
    found: list[str] = [os.environ.get("TZ", "").removeprefix(":")]
    try:
        found.append(str(Path("/etc/localtime").resolve()).rpartition("/zoneinfo/")[2])
        found.append(Path("/etc/timezone").read_text(encoding="utf-8").strip())
    except (OSError, UnicodeDecodeError):
        pass
    return [name for name in found if name and not name.startswith("/")]
