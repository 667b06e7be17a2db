"""What a screen asks in place, in the lines above its keys: a choice, a figure, a few words.

An ask never writes: it takes keys and gives an answer. Letters, digits, Enter, Backspace and the
arrows do all of it; Escape also breaks off, but a terminal takes a tenth of a second to tell a bare
Escape from an arrow, so that no everyday answer needs it.
"""

from __future__ import annotations

import re
from collections.abc import Callable, Generator, Sequence
from typing import Any, ClassVar, Final, NamedTuple

from rounds.screens.board import BLANK, Line, Span, fit, line, wrap

#: Keypad keys arrive under names of their own.
TWINS: Final = {"add": "+", "plus": "+", "subtract": "-", "minus": "-", "decimal": ".", "full_stop": "."}
CANCEL: Final = ("escape",)
#: Answered when a question is broken off.
BROKEN_OFF: Final = object()
#: A question that is still open.
OPEN: Final = object()


class Ask:
    """Something asked. `takes` gives the answer, `OPEN` while there is none, or `BROKEN_OFF`."""

    #: Whether it wants the whole board and not only the lines above the keys.
    whole: ClassVar[bool] = False

    def takes(self, key: str, character: str | None) -> Any:
        """One key pressed."""
        raise NotImplementedError

    def pasted(self, text: str) -> Any:
        """Text pasted, or a label scanned. It answers only what is asked in words or figures."""
        return OPEN

    def lines(self, width: int, height: int) -> list[Line]:
        """How it looks."""
        raise NotImplementedError


#: A conversation: yields asks, is sent the answers, ends when it returns.
Talk = Generator[Ask, Any, None]


class Typed(Ask):
    """Something asked in words or figures: pasted text is as if typed, and a line end as Enter."""

    def pasted(self, text: str) -> Any:
        answer: Any = OPEN
        for character in text:
            key = "enter" if character in "\r\n" else character
            answer = self.takes(key, None if key == "enter" else character)
            if answer is not OPEN:
                break
        return answer


class Option(NamedTuple):
    """One of the answers to a choice."""

    key: str
    label: str
    value: Any


class Choice(Ask):
    """One of a few, by its letter, by its digit, or by arrows and Enter."""

    def __init__(self, title: str, options: Sequence[Option], *, hint: str = "", start: int | None = None) -> None:
        self.title = title
        self.options = list(options)
        self.hint = hint
        self.cursor = start
        self.columns = 1

    def takes(self, key: str, character: str | None) -> Any:
        if key in CANCEL or key == "backspace":
            return BROKEN_OFF
        if key == "enter" and self.cursor is not None:
            return self.options[self.cursor].value
        if key in ("up", "down", "left", "right"):
            step = {"up": -self.columns, "down": self.columns, "left": -1, "right": 1}[key]
            at = 0 if self.cursor is None else self.cursor + step
            if 0 <= at < len(self.options):
                self.cursor = at
            return OPEN
        if character is not None:
            for option in self.options:
                if option.key == character.lower() or option.key == key:
                    return option.value
            if character.isdecimal() and character != "0" and int(character) <= min(9, len(self.options)):
                return self.options[int(character) - 1].value
        return OPEN

    def lines(self, width: int, height: int) -> list[Line]:
        cells = max((len(option.label) for option in self.options), default=0) + 8
        self.columns = max(1, min(4, (width - 2) // cells))
        cell = (width - 2) // self.columns
        shown: list[Line] = [line(" ", Span(fit(self.title, width - 2), "ask"))]
        row: list[Span] = [Span(" ")]
        for place, option in enumerate(self.options):
            mark = "name" if place == self.cursor else ""
            digit = str(place + 1) if place < 9 else " "
            head = option.key if not option.key.isdecimal() else " "
            row += [
                Span(">" if place == self.cursor else " "),
                Span(f"{head} ", "key"),
                Span(f"{digit} ", "quiet"),
                Span(fit(option.label, cell - 6) + " ", mark),
            ]
            if (place + 1) % self.columns == 0:
                shown.append(tuple(row))
                row = [Span(" ")]
        if len(row) > 1:
            shown.append(tuple(row))
        if self.hint:
            shown.append(line(" ", Span(fit(self.hint, width - 2), "quiet")))
        return shown


class Figure(Typed):
    """A number: digits, one point or comma, Backspace, Enter. An empty Enter leaves it out if it may."""

    def __init__(
        self,
        title: str,
        *,
        typed: str = "",
        unit: str = "",
        optional: bool = False,
        hint: str = "",
        whole_number: bool = False,
    ) -> None:
        self.title = title
        self.typed = typed
        self.unit = unit
        self.optional = optional
        self.hint = hint
        self.whole_number = whole_number
        self.wrong = ""

    def takes(self, key: str, character: str | None) -> Any:
        self.wrong = ""
        if key in CANCEL:
            return BROKEN_OFF
        sign = TWINS.get(key, character or "")
        if key == "backspace":
            if not self.typed:
                return BROKEN_OFF
            self.typed = self.typed[:-1]
        elif key == "enter":
            return self._answer()
        elif sign in (".", ",") and not self.whole_number:
            if "." not in self.typed:
                self.typed += "."
        elif sign.isdecimal() and sign.isascii() and len(self.typed) < 8:
            self.typed += sign
        return OPEN

    def _answer(self) -> Any:
        if not self.typed and self.optional:
            return None
        try:
            return int(self.typed) if self.whole_number else float(self.typed)
        except ValueError:
            self.wrong = "Type a number, then Enter; Backspace on an empty line breaks off."
            return OPEN

    def lines(self, width: int, height: int) -> list[Line]:
        asked = line(" ", Span(fit(f"{self.title}  {self.typed}_ {self.unit}", width - 2), "ask"))
        told = self.wrong or self.hint or ("Enter alone leaves it out" if self.optional else "Enter writes it")
        return [asked, line(" ", Span(fit(told, width - 2), "today" if self.wrong else "quiet"))]


class Words(Typed):
    """A few words, typed or pasted; Enter ends. Ready answers stand below, each by its digit while empty."""

    def __init__(
        self,
        title: str,
        *,
        typed: str = "",
        optional: bool = False,
        ready: Sequence[str] = (),
        most: int = 2_000,
        check: Callable[[str], str] | None = None,
    ) -> None:
        self.title = title
        self.typed = typed
        self.optional = optional
        self.ready = list(ready)[:9]
        self.most = most
        self.check = check
        self.wrong = ""

    def takes(self, key: str, character: str | None) -> Any:
        self.wrong = ""
        if key in CANCEL:
            return BROKEN_OFF
        if key == "backspace":
            if not self.typed:
                return BROKEN_OFF
            self.typed = self.typed[:-1]
        elif key == "ctrl+u":
            self.typed = ""
        elif key == "enter":
            answer = self.typed.strip()
            if not answer and not self.optional:
                self.wrong = "Type a few words, then Enter; Backspace on an empty line breaks off."
                return OPEN
            if self.check is not None and (answer or not self.optional):
                self.wrong = self.check(answer)
                if self.wrong:
                    return OPEN
            return answer
        elif character is not None and character.isprintable():
            if not self.typed and character.isdecimal() and 0 < int(character) <= len(self.ready):
                return self.ready[int(character) - 1]
            if len(self.typed) < self.most:
                self.typed += character
        return OPEN

    def lines(self, width: int, height: int) -> list[Line]:
        text = self.typed
        room = max(8, width - len(self.title) - 6)
        tail = text if len(text) < room else "…" + text[-(room - 2) :]
        shown: list[Line] = [line(" ", Span(fit(f"{self.title}  {tail}_", width - 2), "ask"))]
        if self.ready and not text:
            ready = "   ".join(f"{number} {word}" for number, word in enumerate(self.ready, 1))
            shown += [line(" ", Span(one, "quiet")) for one in wrap(ready, width - 2)[:2]]
        if self.wrong:
            shown.append(line(" ", Span(fit(self.wrong, width - 2), "today")))
        elif not self.ready or text:
            told = "Enter writes it" if text or not self.optional else "Enter alone leaves it out"
            shown.append(line(" ", Span(told + "; Backspace on an empty line breaks off", "quiet")))
        return shown


class Found(NamedTuple):
    """A subject that the letters typed so far may mean."""

    label: str
    value: Any


class Search(Typed):
    """A few letters, or a scanned label, and the subjects they may mean."""

    def __init__(self, title: str, find: Callable[[str], Sequence[Found]], *, optional: bool = False) -> None:
        self.title = title
        self.find = find
        self.optional = optional
        self.typed = ""
        self.cursor = 0
        self.found: Sequence[Found] = find("")

    def takes(self, key: str, character: str | None) -> Any:
        if key in CANCEL:
            return BROKEN_OFF
        if key == "backspace":
            if not self.typed:
                return BROKEN_OFF
            self.typed = self.typed[:-1]
        elif key == "enter":
            if self.found and (self.typed or not self.optional):
                return self.found[min(self.cursor, len(self.found) - 1)].value
            return None if self.optional and not self.typed else OPEN
        elif key in ("up", "down"):
            self.cursor = max(0, min(len(self.found) - 1, self.cursor + (1 if key == "down" else -1)))
            return OPEN
        elif character is not None and character.isprintable() and len(self.typed) < 120:
            self.typed += character
        else:
            return OPEN
        self.found = self.find(self.typed)
        self.cursor = 0
        return OPEN

    def lines(self, width: int, height: int) -> list[Line]:
        shown: list[Line] = [line(" ", Span(fit(f"{self.title}  {self.typed}_", width - 2), "ask"))]
        most = max(3, min(8, height // 3))
        first = max(0, self.cursor - most + 1)
        for place, one in enumerate(self.found[first : first + most], first):
            mark = place == self.cursor
            shown.append(line("  > " if mark else "    ", Span(fit(one.label, width - 6), "name" if mark else "")))
        if not self.found:
            shown.append(line("    ", Span("nothing is called that", "today")))
        if self.optional and not self.typed:
            shown.append(line("    ", Span("Enter with nothing typed leaves it out", "quiet")))
        return shown


class Confirm(Ask):
    """Something that is asked about once: Enter or y for yes, n or Backspace for no."""

    def __init__(self, says: Sequence[str], *, yes: str = "yes", no: str = "no", style: str = "today") -> None:
        self.says = says
        self.yes = yes
        self.no = no
        self.style = style

    def takes(self, key: str, character: str | None) -> Any:
        if key in CANCEL or key == "backspace" or character in ("n", "N", "0"):
            return False
        return True if key == "enter" or character in ("y", "Y", "1") else OPEN

    def lines(self, width: int, height: int) -> list[Line]:
        shown = [line(" ", Span(one, self.style)) for text in self.says for one in wrap(text, width - 2)]
        keys = line(" ", Span("Enter", "key"), f" {self.yes}   ", Span("n", "key"), f" {self.no}")
        return [*shown, keys]


class Read(Ask):
    """Something to be read before anything goes on: only y (or 1) says so, for an Enter too many reads nothing."""

    whole: ClassVar[bool] = True

    def __init__(self, title: str, text: Callable[[int], Sequence[Line]], *, yes: str, no: str) -> None:
        self.title = title
        self.text = text
        self.yes = yes
        self.no = no
        self.top = 0

    def takes(self, key: str, character: str | None) -> Any:
        if key in CANCEL or key == "backspace" or character in ("n", "N", "0"):
            return BROKEN_OFF
        if key in ("up", "down", "pageup", "pagedown"):
            self.top = max(0, self.top + {"up": -1, "down": 1, "pageup": -10, "pagedown": 10}[key])
        return True if character in ("y", "Y", "1") else OPEN

    def lines(self, width: int, height: int) -> list[Line]:
        text = self.text(width)
        room = max(1, height - 3)
        self.top = max(0, min(self.top, len(text) - room))
        keys = [
            Span(" "),
            Span("y", "key"),
            Span(f" {self.yes}   "),
            Span("Backspace", "key"),
            Span(f" {self.no}"),
        ]
        if len(text) > room:
            keys += [Span("   "), Span("↓", "key"), Span(" more" if self.top + room < len(text) else " the end")]
        below = [BLANK] * (room - len(text))
        title = line(" ", Span(fit(self.title, width - 2), "ask"))
        return [title, *text[self.top : self.top + room], *below, BLANK, tuple(keys)]


class Ticks(Ask):
    """A list of signs: each ticked by its key when it is there; Enter says the others are not.

    The answer is (there, not there).
    """

    whole: ClassVar[bool] = True

    def __init__(
        self,
        title: str,
        signs: Sequence[str],
        *,
        above: Sequence[Line] = (),
        below: str = "",
        grave: frozenset[str] = frozenset(),
    ) -> None:
        self.title = title
        self.signs = list(signs)
        self.above = above
        self.below = below
        self.grave = grave
        self.there: set[str] = set()

    def takes(self, key: str, character: str | None) -> Any:
        if key in CANCEL or key == "backspace":
            return BROKEN_OFF
        if key == "enter":
            there = tuple(sign for sign in self.signs if sign in self.there)
            return there, tuple(sign for sign in self.signs if sign not in self.there)
        if character is not None and re.fullmatch(r"[0-9]", character):
            place = (int(character) - 1) % 10
            if place < len(self.signs):
                self.there ^= {self.signs[place]}
        return OPEN

    def lines(self, width: int, height: int) -> list[Line]:
        shown: list[Line] = [line(" ", Span(fit(self.title, width - 2), "ask")), *self.above, BLANK]
        for place, sign in enumerate(self.signs):
            there = sign in self.there
            style = ("vet" if sign in self.grave else "today") if there else ""
            shown.append(
                line(
                    "   ",
                    Span(str((place + 1) % 10), "key"),
                    Span(f"  {'YES' if there else ' – '}  "),
                    Span(fit(sign, width - 16), style),
                )
            )
        shown += [
            BLANK,
            line(
                " ",
                Span("Enter", "key"),
                " the others are not there; then her weight   ",
                Span("Backspace", "key"),
                " break off",
            ),
        ]
        shown += [line(" ", Span(one, "quiet")) for one in wrap(self.below, width - 2)] if self.below else []
        return shown
