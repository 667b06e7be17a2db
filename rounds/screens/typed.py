"""What is being typed, kept off the path of the keys: a moment later, and when the app ends not by its key."""

from __future__ import annotations

import threading
from collections.abc import Iterable
from datetime import datetime

from rounds.desk.unfinished import NOTES, Unfinished, UnfinishedFile
from rounds.screens.talk_screen import TalkScreen


class Typed:
    """What stands typed in the app, and what earlier runs left."""

    def __init__(self, file: UnfinishedFile) -> None:
        self._file = file
        #: What earlier runs left and no one has answered yet, the oldest first.
        self.left: list[Unfinished] = []
        #: A sentence about what was left and cannot be read.
        self.trouble = ""
        self._now: list[Unfinished] = []
        self._wake = threading.Event()
        self._writer: threading.Thread | None = None
        self._is_over = False
        #: What is written last is what was kept last: the thread never writes behind the end.
        self._keeping = threading.Lock()

    def begin(self) -> None:
        """Take up what earlier runs left."""
        self.left, self.trouble = self._file.take()

    def look(self, screens: Iterable[object], notes: str, by: str, at: datetime) -> None:
        """Have what stands typed now kept soon, by a thread of its own: no key waits for a disk."""
        if self._is_over:
            return
        self._take(screens, notes, by, at)
        if self._writer is None:
            self._writer = threading.Thread(target=self._write_on, name="typed", daemon=True)
            self._writer.start()
        self._wake.set()

    def last(self, screens: Iterable[object], notes: str, by: str, at: datetime) -> None:
        """The app ends, and not by its key: have it kept now. Nothing takes it away after that."""
        if not self._is_over:
            self._is_over = True
            self._take(screens, notes, by, at)
            with self._keeping:
                self._file.keep(self._all())

    def left_by_key(self) -> None:
        """The keeper has left: of what was not written it was said that it is dropped."""
        if not self._is_over:
            self._is_over = True
            self._now = []
            with self._keeping:
                self._file.keep(self._all())

    def answered(self, one: Unfinished) -> None:
        """The keeper has said what becomes of something that was left."""
        self.left = [other for other in self.left if other != one]

    def wait(self, seconds: float) -> None:
        """Wait so long at most until what is to be kept is kept."""
        self._file.wait(seconds)

    def close(self) -> None:
        """Let another desk offer what lies there."""
        self._file.close()

    def _all(self) -> list[Unfinished]:
        return [*self.left, *self._now]

    def _take(self, screens: Iterable[object], notes: str, by: str, at: datetime) -> None:
        fresh: list[Unfinished] = []
        for screen in screens:
            if isinstance(screen, TalkScreen) and (found := screen.unfinished()) is not None:
                fresh.append(Unfinished(by, at, screen.talks_of, *found))
        if notes and not any(one.asked == NOTES for one in fresh):  # what is added to them holds them
            fresh.append(Unfinished(by, at, "room", NOTES, {"": notes}, notes))
        # What has not changed keeps the moment at which it was typed.
        fresh = [one.bounded() for one in fresh]
        self._now = [next((old for old in self._now if one.same(old)), one) for one in fresh]

    def _write_on(self) -> None:
        while not self._is_over:
            self._wake.wait()
            self._wake.clear()
            with self._keeping:
                if not self._is_over:
                    self._file.keep(self._all())
