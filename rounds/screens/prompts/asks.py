"""What a screen asks in place, in the lines above its keys: a choice, a figure, a few words.

An ask never writes: it takes keys and gives an answer. Letters, digits, Enter, Backspace and the
arrows do all of it; Escape also breaks off, but a terminal takes a tenth of a second to tell a bare
Escape from an arrow, so that no everyday answer needs it.
"""

from __future__ import annotations

from collections.abc import Callable, Generator, Mapping, Sequence
from types import MappingProxyType
from typing import Any, ClassVar, Final, NamedTuple

from rounds.logbook.warmth import celsius
from rounds.logbook.written_figures import of_unit
from rounds.screens.board.board import Line, Span, asked, fit, line, pressing, short, wrap
from rounds.screens.keys.presses import Reach

#: Keypad keys arrive under names of their own.
TWINS: Final = {
    **{"add": "+", "plus": "+", "subtract": "-", "minus": "-", "divide": "/", "slash": "/"},
    **{"decimal": ".", "full_stop": "."},
}
CANCEL: Final = ("escape",)
#: Keys that answer nothing: they go to and fro. Backspace has rules of its own for when it is held down.
MOVES: Final = frozenset(
    ("up", "down", "left", "right", "pageup", "pagedown", "home", "end", "tab", "shift+tab", "backspace")
)
#: Puts what was copied into the text field.
PASTE: Final = ("ctrl+v", "super+v")
#: A figure may be so long, the division of a total among it.
_MOST_TYPED: Final = 14
#: Answered when a question is broken off.
BROKEN_OFF: Final = object()
#: A question that is still open.
OPEN: Final = object()
#: A key that mends what stands in the text field: the question is still open.
TO_FIELD: Final = object()


def letter_of(key: str, character: str | None) -> str:
    """The letter that a key types, a sign of the number pad too; empty when it types none."""
    sign = TWINS.get(key, character or "")
    return sign if sign.isprintable() and not key.startswith(("alt+", "ctrl+")) else ""


class Ask:
    """Something asked. `takes` gives the answer, `OPEN` while there is none, or `BROKEN_OFF`."""

    #: What is asked.
    title: str = ""
    #: Whether it wants the whole board and not only the lines above the keys.
    whole: ClassVar[bool] = False
    #: Whether the text may have several lines.
    several: bool = False
    #: Whether the arrows up and down choose, whatever stands in the text field.
    by_arrows: ClassVar[bool] = False
    #: Whether it may only be answered once it has stood on the screen for a moment.
    to_be_seen: bool = False
    #: The key that brought this question: the same one at once would be held down.
    brought_by: str = ""
    #: Which of its texts stands in the field, when it has several.
    at: int = 0
    #: So many letters at most.
    most_letters: int = 2_000
    #: Why what was typed does not do, and how to mend it.
    wrong = ""
    #: What was broken off where the same was asked before, by field: Ctrl-Z in an empty field brings it back.
    lost: Mapping[str, str] = MappingProxyType({})

    @property
    def in_field(self) -> str | None:
        """What stands in the text field; None while nothing is typed in one."""
        return None

    @property
    def field_name(self) -> str:
        """The name of the field that text is typed in, where there are several."""
        return ""

    @property
    def offers(self) -> bool:
        """Whether what stands in the field is only offered: it is selected, and what is typed replaces it."""
        return False

    @property
    def texts(self) -> dict[str, str]:
        """What was typed in text fields and is not written yet, by field."""
        return {}

    @property
    def held(self) -> dict[str, str]:
        """What was typed and is not written yet, by field, as it can be held for the next start."""
        return self.texts

    def edited(self, text: str) -> None:
        """What stands in the text field from now on."""

    def before_typing(self) -> None:
        """A letter is going to be typed into the field, or text pasted."""

    def reach(self, key: str, character: str | None) -> Reach:
        """Whether this key can answer, so that one held down must not, or only moves, marks or types."""
        return "moves" if key in MOVES else "acts"

    def takes(self, key: str, character: str | None) -> Any:
        """One key pressed."""
        raise NotImplementedError

    def pasted(self, text: str) -> Any:
        """Text pasted, or a label scanned, where nothing is typed in a text field."""
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
    """Something asked in words or figures: a pasted line is as if typed, and its end as Enter."""

    def reach(self, key: str, character: str | None) -> Reach:
        """What was typed says that the Enter behind it is meant, however soon it comes: a scanner sends both."""
        if key in CANCEL:
            return "acts"
        return ("ends" if self.in_words() else "acts") if key in ("enter", "f2") else "moves"

    def pasted(self, text: str) -> Any:
        first, *more = text.splitlines() or [""]
        if any(more):
            self.wrong = "Several lines were pasted. Here stands one."
            return OPEN
        keys = [*first, *(["enter"] if text != first else [])]
        answers = (self.takes(key, key if len(key) == 1 else None) for key in keys)
        return next((answer for answer in answers if answer is not OPEN), OPEN)


class Figure(Typed):
    """A number: digits, a point or comma, Backspace, Enter. An empty Enter leaves it out if it may.

    A temperature may be typed in °F: `84f` answers 28.89.

    With `shared` a total is divided by a number of animals: `52.4/20` answers 2.62. Behind a second / stands the
    smallest of them, weighed alone: `52.4/20/1.9`.
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
                self.typed += sign
        elif sign == "/" and self.shared:
            if self.typed and self.typed.count("/") < 2 and len(self.typed) < _MOST_TYPED:
                self.typed += "/"
        elif sign in ("f", "F") and self.unit == "°C" and self.typed:
            self.typed = f"{self.typed.removesuffix('F')}F"
        elif sign.isdecimal() and sign.isascii() and len(self.typed) < _MOST_TYPED:
            self.typed = self.typed.removesuffix("F") + sign
        return OPEN

    @property
    def held(self) -> dict[str, str]:
        return {"": self.typed} if self.typed else {}

    def in_words(self) -> str:
        return f"{self.typed} {self.unit}".strip() if self.typed else ""

    @property
    def parts(self) -> list[str]:
        """What was typed, parted at each /, a comma as the point it is."""
        return self.typed.replace(",", ".").split("/")

    def _answer(self) -> Any:
        if not self.typed and self.optional:
            return None
        for part in self.typed.removesuffix("F").split("/"):
            if either := of_unit(part, self.unit):
                self.wrong = either
                return OPEN
        try:
            plain, *others = self.parts
            if others:
                many, *smallest = others
                if len(smallest) > 1 or not all(float(one) > 0 for one in smallest):
                    raise ValueError
                figure = float(plain) / int(many)
            elif plain.endswith("F"):
                figure = celsius(float(plain[:-1]))
            else:
                figure = int(plain) if self.whole_number else float(plain)
        except (ValueError, ZeroDivisionError):
            self.wrong = "Type a number, then Enter; Backspace on an empty line breaks off."
            return OPEN
        if self.most is not None and figure > self.most:
            unit = f" {self.unit}" if self.unit else ""
            shown = f"{figure:.3f}".rstrip("0").rstrip(".") if others else self.typed
            self.wrong = f"{shown}{unit} is too much: at most {self.most:.10g}{unit} can be written."
            return OPEN
        return figure

    def lines(self, width: int, height: int) -> list[Line]:
        told = self.wrong or self.hint or ("Enter alone leaves it out" if self.optional else "Enter writes it")
        told += "; f behind it: °F" if self.unit == "°C" and not (self.wrong or self.hint) else ""
        title = f"{self.title}{f' ({self.unit})' if self.unit else ''}"
        style = "today" if self.wrong else "quiet"
        below = [line(" ", Span(one, style)) for one in short(wrap(told, width - 2), 2)]
        return [*asked(title, self.typed, width), *below][:height]


class Found(NamedTuple):
    """A subject that the letters typed so far may mean."""

    label: str
    value: Any


class Search(Typed):
    """A few letters, or a scanned label, and the subjects they may mean."""

    by_arrows: ClassVar[bool] = True

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
        #: Whether Enter alone takes the first; else some letters or an arrow have to choose it. Where it may be
        #: left out Enter alone does that, so none is marked before one is chosen.
        self.by_enter = by_enter and not optional
        self.chose = False
        self.typed = ""
        self.most_letters = 120
        self.cursor = 0
        self.found: Sequence[Found] = find("")

    @property
    def in_field(self) -> str:
        return self.typed

    def reach(self, key: str, character: str | None) -> Reach:
        return "ends" if key == "enter" and self.typed else super().reach(key, character)

    def edited(self, text: str) -> None:
        self.typed = text
        self.found = self.find(text)
        self.cursor = 0

    def takes(self, key: str, character: str | None) -> Any:
        self.wrong = ""
        if key in CANCEL or (key == "backspace" and not self.typed):
            return BROKEN_OFF
        if key == "enter":
            if not self._marks:
                return None if self.optional else OPEN
            return self.found[min(self.cursor, len(self.found) - 1)].value if self.found else OPEN
        if key in ("up", "down"):
            if self._marks:
                self.cursor = max(0, min(len(self.found) - 1, self.cursor + (1 if key == "down" else -1)))
            self.chose = True
            return OPEN
        return TO_FIELD

    @property
    def _marks(self) -> bool:
        """Whether one of those found is marked, and Enter takes it."""
        return bool(self.by_enter or self.chose or self.typed)

    def lines(self, width: int, height: int) -> list[Line]:
        shown = asked(self.title, self.typed, width, style="field")
        most = max(1, min(8, height // 3, height - len(shown) - 1))
        first = max(0, self.cursor - most + 1)
        for place, one in enumerate(self.found[first : first + most], first):
            mark = place == self.cursor and self._marks
            head, style = ("  > ", "name") if mark else ("    ", "")
            there = () if self._marks else ("down",)
            shown.append(
                pressing(
                    line(head, Span(fit(one.label, width - 6), style)),
                    *(there + ("down",) * (place - self.cursor) + ("up",) * (self.cursor - place) or ("enter",)),
                )
            )
        if self.wrong:
            shown.append(line("    ", Span(fit(self.wrong, width - 6), "today")))
        elif not self.found:
            shown.append(line("    ", Span("nothing is called that", "today")))
        if self.optional and not self._marks:
            shown.append(line("    ", Span("Enter alone leaves it out; ↓ chooses one", "quiet")))
        return shown[:height]
