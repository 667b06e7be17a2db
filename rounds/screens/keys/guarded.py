"""An app whose faults end it in order: kept for whoever runs it, and never shown to a keeper as they are."""

from __future__ import annotations

import contextlib
import threading
from collections.abc import Callable, Iterator
from typing import Any, TypeVar

from textual.app import App
from textual.driver import Driver
from textual.worker import WorkerFailed

from rounds.screens.keys.reading import PasteOpen

Result = TypeVar("Result")


class GuardedApp(App[Result]):
    """Its first fault is in `fault` once it has ended; it draws no report of it."""

    #: The fault of the program that ended the app, if one did.
    fault: BaseException | None = None
    #: What is done at once after a fault: whoever runs the app says so.
    when_failed: Callable[[BaseException], None] = staticmethod(lambda _error: None)

    def get_driver_class(self) -> type[Driver]:
        """Textual's own for this system; on Linux and macOS with one reader (`TerminalDriver`)."""
        driver = super().get_driver_class()
        if driver.__module__ == "textual.drivers.linux_driver":
            from rounds.screens.keys.driver import TerminalDriver

            return TerminalDriver
        return driver

    def _handle_exception(self, error: Exception) -> None:
        """End the app. Textual would draw the traceback, with whatever the keeper was writing in it."""
        if isinstance(error, WorkerFailed) and isinstance(error.error, Exception):
            error = error.error
        self._return_code = 1
        if self._exception is None:
            self._exception = error
            self._exception_event.set()
        self.failed(error)
        self._close_messages_no_wait()

    def failed(self, error: BaseException) -> None:
        """A fault ends the app; the first one is told."""
        if self.fault is None:
            self.fault = error
            self.when_failed(error)

    def give_back(self) -> None:
        """Give the terminal back where the app itself did not."""
        driver = self._driver
        give_back = getattr(driver, "give_back", None)
        if give_back is not None:
            give_back()

    def panic(self, *renderables: Any) -> None:
        """Textual ends the app with something drawn: a fault like any other."""
        self.failed(RuntimeError("the app was ended by Textual"))
        self._return_code = 1
        self._close_messages_no_wait()

    @contextlib.contextmanager
    def threads_guarded(self) -> Iterator[None]:
        """A fault in any thread ends the app as well: Textual's writer would leave a screen that never changes."""

        def failed(fault: threading.ExceptHookArgs) -> None:
            if self.fault is None and fault.exc_value is not None and not isinstance(fault.exc_value, SystemExit):
                self.failed(fault.exc_value)
                with contextlib.suppress(Exception):
                    self.call_later(self._close_messages_no_wait)

        before, threading.excepthook = threading.excepthook, failed
        try:
            yield
        finally:
            threading.excepthook = before

    def on_paste_open(self, _: PasteOpen) -> None:
        """A paste that never ends would take all keys without a word."""
        self.paste_is_open()

    def paste_is_open(self) -> None:
        """Say that keys go into a paste that has not ended."""
