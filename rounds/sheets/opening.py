"""How a desk's sheet is opened to grow: begun, or found again and made ready behind its last whole save."""

from __future__ import annotations

import os
import stat
from collections.abc import Callable

from rounds.sheets import limits
from rounds.sheets.aside import keep_aside
from rounds.sheets.disk import Disk
from rounds.sheets.open_sheet import OpenSheet, last_save
from rounds.sheets.parse import Trouble


def begun(disk: Disk, path: str, folder: str) -> OpenSheet:
    """A new sheet, readable by those who may read its folder, writable by its owner alone. Raises `OSError`."""
    mode = 0o600 | disk.status(folder).st_mode & 0o044
    handle = disk.open(path, os.O_RDWR | os.O_APPEND | os.O_CREAT | os.O_EXCL, mode)
    try:
        return OpenSheet(disk, path, handle)
    except BaseException:
        disk.close(handle)
        raise


def reopened(disk: Disk, path: str, record: bytes | None, tell: Callable[[Trouble], None]) -> OpenSheet | None:
    """A sheet that is there already; None when it had better be left as it is.

    What it lacks of its record, the end of its last save, is written first. `tell` hears of what was cut off.
    """
    try:
        handle = disk.open(path, os.O_RDWR | os.O_APPEND)
    except OSError:
        return None
    try:
        status = disk.status_of(handle)
        # A second name for the file may lie outside the colony, or in a backup made of links.
        if stat.S_ISREG(status.st_mode) and status.st_nlink == 1 and status.st_size < limits.PART:
            sheet = OpenSheet(disk, path, handle)
            if (record is None or sheet.goes_on(record)) and _made_ready(disk, sheet, tell):
                return sheet
    except OSError:
        pass
    except BaseException:
        disk.close(handle)
        raise
    disk.close(handle)
    return None


def _made_ready(disk: Disk, sheet: OpenSheet, tell: Callable[[Trouble], None]) -> bool:
    """Find the end of the last whole save; what a crash left behind it is set aside and cut off."""
    found = last_save(disk, sheet.handle, sheet.end)
    if found is None:
        return False
    end, line_open, torn = found
    if torn:
        name = sheet.path.rpartition("/")[2].removesuffix(".jsonl")
        aside = keep_aside(disk, f"{name}.torn-at-{end}", torn, disk.status_of(sheet.handle))
        disk.cut(sheet.handle, end)
        disk.sync(sheet.handle)
        what = (
            f"{sheet.path} ended with something that is no whole save, as a crash or a power cut leaves it. "
            f"Nothing of it was acknowledged; it lies in {aside}."
        )
        tell(Trouble(sheet.path, 0, what, torn[:4096]))
    sheet.end, sheet.line_open = end, line_open
    return True
