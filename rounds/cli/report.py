"""What is done about a fault of the program itself: a report for whoever mends it, a sentence for the keeper.

It raises nothing: whatever is asked for here may fail as well, the fault's own words among it.
"""

from __future__ import annotations

import contextlib
import os
import platform
import tempfile
import traceback
from collections.abc import Callable, Iterator, Mapping, Sequence
from datetime import UTC, datetime
from pathlib import Path
from typing import Final

from rounds import folders, system

_SAID: Final = (
    "Something went wrong that should not have (a fault of this program, not yours). What was acknowledged as "
    "saved is on disk."
)
#: So much of one fault is written down, in letters.
_MOST: Final = 200_000


def unexpected(error: BaseException, words: Sequence[str], environment: Mapping[str, str]) -> str:
    """Write the report and give the sentence that says where it lies. Raises nothing."""
    report = (
        f"rounds {_or_nothing(_version)}, Python {_or_nothing(platform.python_version)}, "
        f"{_or_nothing(platform.system)}\ncommand: {_or_nothing(lambda: ' '.join(map(repr, words)))}\n\n"
        f"{_or_nothing(lambda: _traceback(error)) or type(error).__name__}"
    )
    content = report[:_MOST].encode("utf-8", "backslashreplace")
    stem = _or_nothing(lambda: f"rounds-{datetime.now(UTC):%Y%m%dT%H%M%S.%f}-{os.getpid()}") or "rounds"
    for folder in _folders(environment):
        with contextlib.suppress(Exception):
            folder.mkdir(parents=True, exist_ok=True)
            path = system.write_new_file(folder, stem, ".txt", content)
            return f"{_SAID} A report for whoever mends it lies in {path}"
    told = " ".join(_or_nothing(lambda: str(error)).split())[:300]
    return f"{_SAID} No report could be written: {type(error).__name__}{f': {told}' if told else ''}"


def _version() -> str:
    from rounds import __version__

    return __version__


def _traceback(error: BaseException) -> str:
    try:
        return "".join(traceback.format_exception(error))
    except Exception:  # its cause, or a word of it, cannot be told
        return "".join(traceback.format_tb(error.__traceback__)) + type(error).__name__


def _or_nothing(told: Callable[[], str]) -> str:
    """What can be told; empty where it cannot."""
    try:
        return told()
    except Exception:
        return ""


def _folders(environment: Mapping[str, str]) -> Iterator[Path]:
    """Where a report may lie, the likeliest first."""
    with contextlib.suppress(Exception):
        yield folders.state(environment) / "reports"
    with contextlib.suppress(Exception):
        yield Path(tempfile.gettempdir())
