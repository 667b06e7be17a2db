"""A disk that takes nothing, put under an open desk."""

from __future__ import annotations

import errno
import os

from rounds.sheets.disk import Disk
from rounds.sheets.store import Sheets
from tests.screens.rack import Rack


class FailingDisk(Disk):
    """A disk that takes nothing as long as it is `full`."""

    full = False

    def write(self, handle: int, content: bytes) -> int:
        if self.full:
            raise OSError(errno.ENOSPC, os.strerror(errno.ENOSPC))
        return super().write(handle, content)


def failing(rack: Rack) -> FailingDisk:
    """Put a disk that can fail under the desk."""
    disk = FailingDisk(os.path.realpath(rack.folder))
    rack.desk.sheets.close()
    rack.desk.sheets = Sheets(rack.folder, rack.desk.name, disk)
    rack.desk.sheets.read()
    return disk
