"""Which tests know a room of `rounds`: asked by `tests/changed.py` and by `python -m tests.mutation`."""

from __future__ import annotations

from typing import NamedTuple


class Tests(NamedTuple):
    """The tests of a room, as paths from the top of the project."""

    own: tuple[str, ...]  # run for each change in the room
    also: tuple[
        str, ...
    ] = ()  # tests of other rooms that hold this one to what it promises, as far as they are quick


ROOMS: dict[str, Tests] = {
    "logbook": Tests(("tests/logbook",), ("tests/promises", "tests/hostile/test_hostile_words.py")),
    "audit": Tests(("tests/audit",)),
    "sheets": Tests(("tests/sheets",), ("tests/desks/test_restore.py", "tests/hostile/test_foreign_sheets.py")),
    "standing": Tests(
        ("tests/standing",), ("tests/due", "tests/promises/test_fold.py", "tests/cache/test_cache.py")
    ),
    "rules": Tests(("tests/rules",), ("tests/due",)),
    "due": Tests(("tests/due",), ("tests/test_docs.py",)),
    "paper": Tests(("tests/paper",), ("tests/cli/test_story.py",)),
    "cache": Tests(
        ("tests/cache",), ("tests/desk/test_recent.py", "tests/desk/test_desk.py", "tests/desks/test_clock.py")
    ),
    "desk": Tests(
        ("tests/desk",),
        (
            "tests/cli/test_names.py",
            "tests/cli/test_find.py",
            "tests/cli/test_no_slip.py",
            "tests/cache/test_cache.py",
            "tests/desks",
        ),
    ),
    "cli": Tests(("tests/cli",)),
    "screens": Tests(("tests/screens",), ("tests/hostile/test_hostile_screens.py",)),
}
