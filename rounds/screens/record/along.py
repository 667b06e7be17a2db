"""The record that goes along with an animal, as a text file that can be printed."""

from __future__ import annotations

from rounds import folders, system
from rounds.errors import RoundsError
from rounds.paper.going_along import going_along, going_along_text
from rounds.screens.record.host import Host


def write_record(screen: Host, subject: str) -> tuple[str, str]:
    """Write the record of an animal or a group to a text file in the home folder: what is said, and its style."""
    desk, now = screen.shift.desk, screen.shift.now()
    try:
        told = going_along(desk.standing, desk.settings, now, subject, by=desk.keeper or "")
        page = going_along_text(told, now).encode(errors="replace")
        name = f"record-{subject.rpartition('/')[2]}-{now:%Y-%m-%d-%H%M}"
        path = system.write_new_file(folders.home(), name, ".txt", page)
    except (OSError, RoundsError) as error:
        why = error.strerror if isinstance(error, OSError) and error.strerror else error
        return f"The file was not written to your home folder: {why}", "today"
    return f"Written to {path}", "good"
