"""When the terminal goes away the program ends by itself; all that was acknowledged is on disk already.

A terminal that was removed sends no byte and no signal that is sure to come. A watching thread asks the terminal
itself twice a second.
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
#: How long the last words may take, in s: a disk that does not answer keeps no process.
LAST: Final = 0.3
#: The exit code of an app that did not end when it was told to: a fault (EX_SOFTWARE of sysexits.h).
HUNG: Final = 70
_DID_NOT_END: Final = (
    b"rounds was told to end, was busy, and was ended. What was acknowledged as saved is on disk; what was being "
    b"typed is offered at the next start.\n"
)


def watch(leave: Callable[[], None], last: Callable[[], None], give_back: Callable[[], None]) -> Callable[[], None]:
    """Call `leave` and then end the process when the terminal is gone, or on hang-up and terminate.

    `last` is called before either; it and `leave` may hang. `give_back` gives the terminal back when an app did not
    end in time. What is returned ends the watching.
    """
    end, stopped = threading.Event(), threading.Event()

    # Only the main thread may listen for signals; a test's application runs elsewhere and needs none.
    with contextlib.suppress(ValueError):
        system.on_request_to_end(end.set)

    def watching() -> None:
        while not end.wait(EVERY):
            if stopped.is_set():
                return
            if not terminal_is_there():
                within(PATIENCE, last)
                os._exit(0)
        within(LAST, last)
        within(0, leave)
        if stopped.wait(PATIENCE):
            return
        give_back()
        if not terminal_is_there():
            os._exit(0)
        with contextlib.suppress(OSError):
            os.write(2, _DID_NOT_END)
        os._exit(HUNG)

    threading.Thread(target=watching, name="terminal", daemon=True).start()
    return stopped.set


def within(seconds: float, step: Callable[[], None]) -> None:
    """Do something that may fail, or never return, and wait so long for it at most."""

    def doing() -> None:
        with contextlib.suppress(Exception):
            step()

    thread = threading.Thread(target=doing, name="within", daemon=True)
    thread.start()
    thread.join(seconds)


def terminal_is_there() -> bool:
    """Whether the terminal that the program was begun at is still there."""
    try:
        return system.terminal_is_there(sys.__stdin__.fileno() if sys.__stdin__ is not None else 0)
    except (OSError, ValueError):  # standard input was closed
        return False
