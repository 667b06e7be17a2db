"""What a terminal sends, as keys and pastes. A paste is never a key, and no byte ends the reading.

Textual's parser takes escape sequences inside a paste for keys, and some sequences end it with an error. So pastes
are cut out before it, and what it cannot read is passed over (docs/decisions/0022-terminal.md).
"""

from __future__ import annotations

import re
from codecs import getincrementaldecoder
from collections.abc import Iterator
from typing import Final

from textual import constants, events
from textual._xterm_parser import XTermParser
from textual.keys import Keys
from textual.message import Message

START: Final = "\x1b[200~"
END: Final = "\x1b[201~"
#: Escape, alone, as terminals send it.
_ESCAPE: Final = ("\x1b", "\x1b[27u")
#: A paste has ended when nothing comes behind its end for so long, in s: what it holds may have looked like an end.
#: The second is the longest that keys behind it wait.
SETTLED: Final = 0.04
LONGEST: Final = 0.4
#: A paste that has not ended for so long is said, in s.
OPEN: Final = 2.0
#: Escape alone ends such a paste when nothing follows it for so long, in s.
ALONE: Final = 0.1
#: So much of one paste is kept, in letters; the longest text that can be typed is far shorter.
MOST: Final = 200_000
#: A screen is at most so wide or high, in cells; a terminal that says more is not believed.
_MOST_CELLS: Final = 1_000
#: What a terminal would obey in copied text, whole: no word of the text is in it.
_OBEYED: Final = re.compile(r"\x1b(?:\[[0-?]*[ -/]*[@-~]?|[\]PX^_][^\x07\x1b]*(?:\x07|\x1b\\)?|[ -/]*[0-~])?")


class PasteOpen(Message, bubble=False):
    """A paste has begun and not ended: what is typed goes into it."""


class _Parser(XTermParser):
    """Textual's parser, without its errors."""

    def _sequence_to_key_events(self, sequence: str, alt: bool = False) -> Iterator[events.Key]:
        """A sequence that names no letter (a number too large, half of a pair) is a key that does nothing."""
        try:
            found = list(super()._sequence_to_key_events(sequence, alt))
        except (ValueError, OverflowError):
            found = [events.Key(Keys.Ignore, sequence)]
        for key in found:
            yield events.Key(Keys.Ignore, sequence) if _is_half(key.character or "") else key

    def parse_mouse_code(self, code: str) -> Message | None:
        """A place that no terminal can mean (too large a number, no size of a screen) is no move of the mouse."""
        try:
            return super().parse_mouse_code(code)
        except (ArithmeticError, ValueError):
            return None


class Reading:
    """Bytes in, keys and pastes out. `now` is in s, of a clock that goes on evenly."""

    def __init__(self, *, debug: bool = False) -> None:
        self._debug = debug
        self._parser = _Parser(debug)
        self._decoder = getincrementaldecoder("utf-8")("replace")
        #: The last letters given to the parser that may be the beginning of `START`.
        self._begun = ""
        #: The paste under way; None outside of one.
        self._paste: str | None = None
        #: What came behind its end, while it may still turn out to belong to it; None while it goes on.
        self._behind: str | None = None
        self._ended = 0.0
        self._last = 0.0
        self._said_open = False
        #: When Escape came alone into a paste of which it was said that it is open.
        self._escaped: float | None = None

    @property
    def patience(self) -> float:
        """How long to wait for more before `tick`, in s."""
        return 0.01 if self._behind is not None or self._escaped is not None else 0.1

    def take(self, content: bytes, now: float) -> Iterator[Message]:
        """Bytes as they were read."""
        text = self._decoder.decode(content)
        if text:
            self._last = now
            yield from self._take(text, now)

    def tick(self, now: float) -> Iterator[Message]:
        """What is certain once nothing more has come for a while."""
        if self._behind is not None:
            if now - self._last >= SETTLED or now - self._ended >= LONGEST:
                yield from self._end(now)
        elif self._paste is not None:
            if self._escaped is not None and now - self._escaped >= ALONE:
                self._behind = ""
                yield from self._end(now)
            elif not self._said_open and now - self._last >= OPEN:
                self._said_open = True
                yield PasteOpen()
        elif now - self._last >= constants.ESCAPE_DELAY:
            yield from self._whole()

    def _take(self, text: str, now: float) -> Iterator[Message]:
        self._escaped = None
        if self._paste is None:
            yield from self._outside(text, now)
        elif self._behind is not None:
            self._behind += text
            yield from self._look_behind(now)
        elif self._said_open and text in _ESCAPE:
            self._escaped = now
        else:
            yield from self._inside(text, now)

    def _outside(self, text: str, now: float) -> Iterator[Message]:
        joined = self._begun + text
        at = joined.find(START)
        if at < 0:
            self._begun = _beginning(joined)
            yield from self._keys(text)
            return
        before = joined[len(self._begun) : at] if at > len(self._begun) else ""
        if at < len(self._begun):
            self._fresh_parser()  # it holds the beginning of the mark, and no key
        elif before:
            yield from self._keys(before)
        # An Escape or half a sequence before the paste does not go on behind it.
        yield from self._whole()
        self._begun, self._paste, self._said_open = "", "", False
        yield from self._inside(joined[at + len(START) :], now)

    def _inside(self, text: str, now: float) -> Iterator[Message]:
        assert self._paste is not None
        looked = max(0, len(self._paste) - len(END))
        self._paste += text
        at = self._paste.find(END, looked)
        if at < 0:
            if len(self._paste) > MOST:  # its end is still looked for
                self._paste = self._paste[: MOST - len(END)] + self._paste[-len(END) :]
            return
        self._paste, self._behind, self._ended = self._paste[:at], self._paste[at + len(END) :], now
        yield from self._look_behind(now)

    def _look_behind(self, now: float) -> Iterator[Message]:
        """An end that no beginning stands before was inside the paste: the one before it was too."""
        assert self._paste is not None
        assert self._behind is not None
        begins = self._behind.find(START)
        at = self._behind.rfind(END, 0, begins if begins >= 0 else len(self._behind))
        if at >= 0:
            self._paste += self._behind[:at]
            self._behind, self._ended = self._behind[at + len(END) :], now
        if begins >= 0:
            yield from self._end(now)

    def _end(self, now: float) -> Iterator[Message]:
        text, behind = self._paste or "", self._behind or ""
        self._paste = self._behind = self._escaped = None
        self._said_open = False
        yield events.Paste(_OBEYED.sub("", text.replace("\x00", ""))[:MOST])
        if behind:
            yield from self._take(behind, now)

    def _keys(self, text: str) -> Iterator[Message]:
        """What the parser makes of it. What it cannot read drops this piece of the line, never the reading."""
        try:
            yield from self._parser.feed(text)
        except Exception:
            self._fresh_parser()

    def _whole(self) -> Iterator[Message]:
        """A sequence that does not go on is what there is of it: Escape alone is Escape."""
        if self._parser._timeout_time is not None:
            self._parser._timeout_time = 0.0
            yield from self._parser.tick()

    def _fresh_parser(self) -> None:
        old, self._parser = self._parser, _Parser(self._debug)
        for name in ("last_x", "last_y", "mouse_pixels", "terminal_size", "terminal_pixel_size"):
            setattr(self._parser, name, getattr(old, name))


def believed(message: Message) -> bool:
    """Whether a terminal can have meant it: no noise on the line makes a screen of a million cells, or a click
    beside it."""
    if isinstance(message, events.Resize):
        return 0 < message.size.width <= _MOST_CELLS and 0 < message.size.height <= _MOST_CELLS
    if isinstance(message, events.MouseEvent):
        return 0 <= message.x < _MOST_CELLS and 0 <= message.y < _MOST_CELLS
    return True


def _is_half(character: str) -> bool:
    """Whether it is half of a surrogate pair, which no file takes."""
    return any("\ud800" <= letter <= "\udfff" for letter in character)


def _beginning(text: str) -> str:
    """The end of the text that may be the beginning of a paste."""
    return next((text[-many:] for many in range(len(START) - 1, 0, -1) if text.endswith(START[:many])), "")
