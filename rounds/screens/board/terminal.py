"""When the terminal goes away the program ends by itself; all that was acknowledged is on disk already.

Textual's reader does not notice that its pseudo-terminal was removed and would use a whole core from
then on. A watching thread asks the terminal itself twice a second.
"""

from __future__ import annotations

import contextlib
import os
import sys
import threading
from collections.abc import Callable
from typing import Final

from rounds import system

#: How often the terminal is asked, in s; the program is gone within two seconds.
EVERY: Final = 0.5
#: How long an orderly end may take before the process is ended, in s.
PATIENCE: Final = 1.0


def watch(leave: Callable[[], None]) -> None:
    """Call `leave` and then end the process when the terminal is gone, or on hang-up and terminate."""
    end = threading.Event()

    # Only the main thread may listen for signals; a test's application runs elsewhere and needs none.
    with contextlib.suppress(ValueError):
        system.on_request_to_end(end.set)

    def leaving() -> None:
        with contextlib.suppress(Exception):
            leave()

    def watching() -> None:
        while not end.wait(EVERY):
            if not _terminal_is_there():
                os._exit(0)
        # In a thread of its own: an app that hangs (on a disk that does not answer) would never let it return.
        threading.Thread(target=leaving, name="leaving", daemon=True).start()
        threading.Event().wait(PATIENCE)
        os._exit(0)

    threading.Thread(target=watching, name="terminal", daemon=True).start()


def _terminal_is_there() -> bool:
    try:
        return system.terminal_is_there(sys.__stdin__.fileno() if sys.__stdin__ is not None else 0)
    except (OSError, ValueError):  # standard input was closed
        return False
