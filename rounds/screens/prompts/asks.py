"""What a screen asks in place, in the lines above its keys: a choice, a figure, a few words.

An ask never writes: it takes keys and gives an answer. Letters, digits, Enter, Backspace and the
arrows do all of it; Escape also breaks off, but a terminal takes a tenth of a second to tell a bare
Escape from an arrow, so that no everyday answer needs it.
"""

from __future__ import annotations

from collections.abc import Callable, Generator, Sequence
from typing import Any, ClassVar, Final, NamedTuple

from rounds.screens.board.board import Line, Span, asked, fit, line, short, wrap

#: Keypad keys arrive under names of their own.
TWINS: Final = {
    **{"add": "+", "plus": "+", "subtract": "-", "minus": "-", "divide": "/", "slash": "/"},
    **{"decimal": ".", "full_stop": "."},
}
CANCEL: Final = ("escape",)
#: A figure may be so long, the division of a total among it.
_MOST_TYPED: Final = 14
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

    def in_words(self) -> str:
        """What was typed into it, to be said when it is dropped; empty when nothing was."""
        return ""


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


class Figure(Typed):
    """A number: digits, a point or comma, Backspace, Enter. An empty Enter leaves it out if it may.

    With `shared` a total is divided by a number of animals: `52.4/20` answers 2.62.
    """

    def __init__(
        self,
        title: str,
        *,
        typed: str = "",
        unit: str = "",
        optional: bool = False,
        hint: str = "",
        whole_number: bool = False,
        stays: str = "",
        shared: bool = False,
        most: float | None = None,
    ) -> None:
        self.title = title
        self.typed = typed
        self.shared = shared
        #: The largest figure that an entry takes.
        self.most = most
        self.unit = unit
        self.optional = optional
        self.hint = hint
        self.whole_number = whole_number
        #: What is said instead of breaking off, where something is on disk already.
        self.stays = stays
        self.wrong = ""

    def takes(self, key: str, character: str | None) -> Any:
        self.wrong = ""
        leaves = key in CANCEL or (key == "backspace" and not self.typed)
        if leaves and self.stays:
            self.wrong = self.stays
            return OPEN
        if leaves:
            return BROKEN_OFF
        sign = TWINS.get(key, character or "")
        if key == "backspace":
            self.typed = self.typed[:-1]
        elif key == "enter":
            return self._answer()
        elif sign in (".", ",") and not self.whole_number:
            # A second one is not dropped: that would make another number. It is seen, and refused by Enter.
            if len(self.typed) < _MOST_TYPED:
                self.typed += "."
        elif sign == "/" and self.shared:
            if self.typed and len(self.typed) < _MOST_TYPED:
                self.typed += "/"
        elif sign.isdecimal() and sign.isascii() and len(self.typed) < _MOST_TYPED:
            self.typed += sign
        return OPEN

    def in_words(self) -> str:
        return f"{self.typed} {self.unit}".strip() if self.typed else ""

    def _answer(self) -> Any:
        if not self.typed and self.optional:
            return None
        try:
            if "/" in self.typed:
                total, _, many = self.typed.partition("/")
                figure = float(total) / int(many)
            else:
                figure = int(self.typed) if self.whole_number else float(self.typed)
        except (ValueError, ZeroDivisionError):
            self.wrong = "Type a number, then Enter; Backspace on an empty line breaks off."
            return OPEN
        if self.most is not None and figure > self.most:
            self.wrong = f"{figure:.10g} {self.unit} is too much: at most {self.most:g} {self.unit} can be written."
            return OPEN
        return figure

    def lines(self, width: int, height: int) -> list[Line]:
        told = self.wrong or self.hint or ("Enter alone leaves it out" if self.optional else "Enter writes it")
        title = f"{self.title}{f' ({self.unit})' if self.unit else ''}"
        style = "today" if self.wrong else "quiet"
        below = [line(" ", Span(one, style)) for one in short(wrap(told, width - 2), 2)]
        return [*asked(title, self.typed, width), *below][:height]


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
        says: Callable[[str], str] | None = None,
    ) -> None:
        self.title = title
        self.typed = typed
        self.optional = optional
        #: Says back what was read.
        self.says = says
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

    def in_words(self) -> str:
        return f"“{self.typed}”" if self.typed else ""

    def lines(self, width: int, height: int) -> list[Line]:
        text = self.typed
        shown = asked(self.title, text, width)
        if self.ready and not text:
            ready = "   ".join(f"{number} {word}" for number, word in enumerate(self.ready, 1))
            shown += [line(" ", Span(one, "quiet")) for one in wrap(ready, width - 2)[:2]]
        said = self.says(text) if self.says is not None and text else ""
        if said:
            shown.append(line(" ", Span(fit(f"= {said}", width - 2), "good")))
        if self.wrong:
            shown += [line(" ", Span(one, "today")) for one in short(wrap(self.wrong, width - 2), 2)]
        elif not self.ready or text:
            told = "Enter writes it" if text or not self.optional else "Enter alone leaves it out"
            shown.append(line(" ", Span(told + "; Backspace on an empty line breaks off", "quiet")))
        return shown[:height]


class Found(NamedTuple):
    """A subject that the letters typed so far may mean."""

    label: str
    value: Any


class Search(Typed):
    """A few letters, or a scanned label, and the subjects they may mean."""

    def __init__(
        self,
        title: str,
        find: Callable[[str], Sequence[Found]],
        *,
        optional: bool = False,
        by_enter: bool = True,
    ) -> None:
        self.title = title
        self.find = find
        self.optional = optional
        #: Whether Enter alone takes the first; else some letters or an arrow have to choose it.
        self.by_enter = by_enter
        self.chose = False
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
            if not self.typed and not self.by_enter and not self.chose:
                return OPEN
            if self.found and (self.typed or not self.optional):
                return self.found[min(self.cursor, len(self.found) - 1)].value
            return None if self.optional and not self.typed else OPEN
        elif key in ("up", "down"):
            if self.by_enter or self.chose or self.typed:
                self.cursor = max(0, min(len(self.found) - 1, self.cursor + (1 if key == "down" else -1)))
            self.chose = True
            return OPEN
        elif character is not None and character.isprintable() and len(self.typed) < 120:
            self.typed += character
        else:
            return OPEN
        self.found = self.find(self.typed)
        self.cursor = 0
        return OPEN

    def lines(self, width: int, height: int) -> list[Line]:
        shown = asked(self.title, self.typed, width)
        most = max(1, min(8, height // 3, height - len(shown) - 1))
        first = max(0, self.cursor - most + 1)
        for place, one in enumerate(self.found[first : first + most], first):
            mark = place == self.cursor and bool(self.by_enter or self.chose or self.typed)
            shown.append(line("  > " if mark else "    ", Span(fit(one.label, width - 6), "name" if mark else "")))
        if not self.found:
            shown.append(line("    ", Span("nothing is called that", "today")))
        if self.optional and not self.typed:
            shown.append(line("    ", Span("Enter with nothing typed leaves it out", "quiet")))
        return shown[:height]
