"""The terminal's driver: Textual's own for Linux and macOS, with one reader whatever bytes and signals come.

Textual starts a second reader when the process is woken that it did not put to sleep itself (SIGCONT after
SIGSTOP), and each of the two gets some of the keys. docs/decisions/0022-terminal.md says what is replaced, and why.
"""

from __future__ import annotations

import contextlib
import os
import selectors
import time
from typing import Any, Final

from textual import constants, events
from textual.drivers.linux_driver import (
    KITTY_DISAMBIGUATE_ESCAPE_CODES,
    KITTY_REPORT_ALL_KEYS,
    KITTY_REPORT_ASSOCIATED_TEXT,
    LinuxDriver,
)
from textual.geometry import Size
from textual.message import Message

from rounds import system
from rounds.screens.keys.reading import Reading, believed

_AT_ONCE: Final = 4096
_CURSOR: Final = {"\x1b[?25h": True, "\x1b[?25l": False}
#: What gives a terminal back: no paste marks, lines wrapped, no mouse, no kitty keys, the first screen, a cursor.
GIVEN_BACK: Final = (
    b"\x1b[?2004l\x1b[?7h\x1b[?2048l\x1b[?1000l\x1b[?1003l\x1b[?1015l\x1b[?1006l\x1b[?1004l"
    b"\x1b[<u\x1b[?1049l\x1b[?25h"
)


class TerminalDriver(LinuxDriver):
    """Reads the terminal in one thread, and takes the terminal again after any sleep."""

    def __init__(self, app: Any, **words: Any) -> None:
        self._asleep = False
        self._cursor_shown = False
        self._is_given_back = False
        super().__init__(app, **words)
        self._reading = Reading(debug=self._debug)

    # Asleep and awake. A signal may come while the main thread holds a lock of the queue that is written through,
    # so that what is to be done waits for its loop.

    def _sigtstp_application(self, *_: object) -> None:
        """Told to stop by the terminal (`kill -TSTP`): the terminal is given back first."""
        self._loop.call_soon_threadsafe(self._fall_asleep)

    def _sigcont_application(self, *_: object) -> None:
        """Woken, whoever put it to sleep."""
        self._loop.call_soon_threadsafe(self._wake)

    def _fall_asleep(self) -> None:
        if self._asleep or not self._auto_restart:
            return
        shown = self._cursor_shown
        self.suspend_application_mode()
        self._asleep, self._cursor_shown = True, shown
        system.stop_until_woken()

    def _wake(self) -> None:
        if not self._auto_restart:
            return
        if not system.terminal_is_ours(self.fileno):
            system.stop_until_woken()  # `bg`: there is nothing to do without the terminal
            return
        shown = self._cursor_shown
        if self._asleep:
            self._asleep = False
            self._must_signal_resume = True
            self.start_application_mode()
        elif self._writer_thread is not None:
            self._take_terminal_again()
        self.write("\x1b[?25h" if shown else "\x1b[?25l")
        self._app.call_later(self._app.screen.refresh, layout=True)

    def _take_terminal_again(self) -> None:
        """It was stopped without a chance to give the terminal back (SIGSTOP): a shell may have used it since."""
        system.take_keys_raw(self.fileno, self._patch_lflag, self._patch_iflag)
        self.write("\x1b[?1049h")
        self._enable_mouse_support()
        self.write("\x1b[?1004h")
        if not constants.DISABLE_KITTY_KEY:
            flags = KITTY_DISAMBIGUATE_ESCAPE_CODES | KITTY_REPORT_ALL_KEYS | KITTY_REPORT_ASSOCIATED_TEXT
            self.write(f"\x1b[={flags}u")  # sets what stands on top; another one on the stack would stay behind
        if self._in_band_window_resize:
            self._enable_in_band_window_resize()
        self._enable_bracketed_paste()
        self._disable_line_wrap()
        width, height = self._get_terminal_size()
        size = Size(width, height)
        self.send_message(events.Resize(size, size))

    # Writing

    def write(self, data: str) -> None:
        self._cursor_shown = _CURSOR.get(data, self._cursor_shown)
        super().write(data)

    def close(self) -> None:
        writes = self._writer_thread is not None and self._writer_thread.is_alive()
        super().close()
        self._is_given_back = writes

    def start_application_mode(self) -> None:
        self._is_given_back = False
        # First of all: until then a terminal makes another key of each Enter.
        before = system.take_keys_raw(self.fileno, self._patch_lflag, self._patch_iflag)
        super().start_application_mode()  # type: ignore[no-untyped-call]
        self.attrs_before = before

    def give_back(self) -> None:
        """The terminal as it was, by the shortest way, where the app came to no orderly end."""
        if self._is_given_back:
            return
        self._is_given_back = True
        self.exit_event.set()
        if self.attrs_before is not None:
            system.set_terminal_modes(self.fileno, self.attrs_before)
        with contextlib.suppress(OSError):
            os.write(2, GIVEN_BACK)

    # Reading

    def _run_input_thread(self) -> None:
        try:
            self.run_input_thread()
        except Exception as error:
            self._app.call_later(self._app._handle_exception, error)

    def run_input_thread(self) -> None:
        """Read until told to stop, and then what had come by then: a key pressed before a sleep is not lost."""
        with selectors.SelectSelector() as selector:
            selector.register(self.fileno, selectors.EVENT_READ)
            while not self.exit_event.is_set():
                if not self._read(bool(selector.select(self._reading.patience))):
                    self.exit_event.wait()  # the terminal is gone; who watches it ends the process
            while selector.select(0) and self._read(True):
                pass

    def _read(self, ready: bool) -> bool:
        """Take what has come; False at the end of what can come."""
        if ready:
            try:
                content = os.read(self.fileno, _AT_ONCE)
            except (BlockingIOError, InterruptedError):
                return True
            except OSError:
                return False
            if not content:
                return False
            for message in self._reading.take(content, time.monotonic()):
                self._pass_on(message)
        for message in self._reading.tick(time.monotonic()):
            self._pass_on(message)
        return True

    def _pass_on(self, message: Message) -> None:
        if believed(message):
            self.process_message(message)
