"""An app run to its end, whatever ends it: the keeper, a fault, a terminal that goes away."""

from __future__ import annotations

import contextlib
import os
import threading
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from typing import TypeVar

from rounds.screens.board.terminal import HUNG, LAST, PATIENCE, terminal_is_there, watch, within
from rounds.screens.keys.guarded import GuardedApp

Result = TypeVar("Result")
#: Tells of a fault: writes a report, and gives the sentence for the keeper.
Report = Callable[[BaseException], str]


def run_to_its_end(
    app: GuardedApp[Result], report: Report, last: Callable[[], None] = lambda: None
) -> Result | None:
    """What the app returns. `last` is done before any end but the keeper's own. Raises the fault that ended it."""
    stop_watching = watch(lambda: app.call_from_thread(app.exit), last, app.give_back)
    try:
        with _ended_in_time(app, report, last), app.threads_guarded():
            result: Result | None = None
            try:
                result = app.run()
            except Exception as error:
                app.failed(error)
            finally:
                app.give_back()
        if isinstance(app.fault, OSError) and not terminal_is_there():
            return None  # nobody is there to be told, and nothing is to be mended
        if app.fault is not None:
            if isinstance(app.fault, BrokenPipeError):  # of the terminal, not of a reader who has gone
                raise RuntimeError("the terminal could not be written to") from app.fault
            raise app.fault
        return result
    finally:
        stop_watching()


@contextmanager
def _ended_in_time(app: GuardedApp[Result], report: Report, last: Callable[[], None]) -> Iterator[None]:
    """After a fault the last words are kept, and an app that cannot end any more is ended."""
    ended = threading.Event()

    def waiting(fault: BaseException) -> None:
        if not ended.wait(PATIENCE):
            app.give_back()
            with contextlib.suppress(OSError):
                os.write(2, f"{report(fault)}\n".encode(errors="backslashreplace"))
            os._exit(HUNG)

    def failed(fault: BaseException) -> None:
        threading.Thread(target=waiting, args=(fault,), name="fault", daemon=True).start()
        within(LAST, last)

    app.when_failed = failed
    try:
        yield
    finally:
        ended.set()
