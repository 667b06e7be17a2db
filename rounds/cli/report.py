"""What is done about a fault of the program itself: a report for whoever mends it, a sentence for the keeper."""

from __future__ import annotations

import os
import platform
import tempfile
import traceback
from collections.abc import Mapping, Sequence
from datetime import UTC, datetime
from pathlib import Path

from rounds import folders
from rounds.errors import RoundsError


def unexpected(error: BaseException, words: Sequence[str], environment: Mapping[str, str]) -> str:
    """Write the report and give the sentence that says where it lies."""
    from rounds import __version__

    report = (
        f"rounds {__version__}, Python {platform.python_version()}, {platform.system()}\n"
        f"command: {' '.join(map(repr, words))}\n\n"
        f"{''.join(traceback.format_exception(error))}"
    )
    said = (
        "Something went wrong that should not have (a fault of this program, not yours). What was acknowledged as "
        "saved is on disk."
    )
    for folder in _folders(environment):
        try:
            folder.mkdir(parents=True, exist_ok=True)
            path = folder / f"rounds-{datetime.now(UTC):%Y%m%dT%H%M%S.%f}-{os.getpid()}.txt"
            with path.open("x", encoding="utf-8", errors="backslashreplace") as file:
                file.write(report)
            return f"{said} A report for whoever mends it lies in {path}"
        except OSError:
            continue
    return f"{said} No report could be written: {type(error).__name__}: {error}"


def _folders(environment: Mapping[str, str]) -> list[Path]:
    """Where a report may lie, the likeliest first."""
    temporary = Path(tempfile.gettempdir())
    try:
        return [folders.state(environment) / "reports", temporary]
    except RoundsError:
        return [temporary]
