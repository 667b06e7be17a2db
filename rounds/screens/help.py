"""Help: what every key of the screen does. Read from the register of keys."""

from __future__ import annotations

from collections.abc import Sequence
from typing import ClassVar, Final

from rounds.screens.board.board import BLANK, Line, Span, fit, line, wrap
from rounds.screens.keys.screens import BY_NAME
from rounds.screens.screen import RoundScreen

#: What its keys do while text is typed.
_TEXT: Final = (
    ("Enter", "Write it, or go on to the next field of a form"),
    ("Ctrl-J", "Begin a line, in a note, the vet's words and notes for the next keeper"),
    ("← → ↑ ↓", "Go by letters and lines; with Ctrl by words, with Shift they select"),
    ("Home End", "To the beginning of the line, to its end"),
    ("Backspace", "Delete; on an empty line it breaks off, and is asked for twice where something was typed"),
    ("Delete", "Delete the letter behind; Ctrl-W a word, Ctrl-U to the beginning, Ctrl-K to the end"),
    ("Ctrl-Z", "Undo, Ctrl-Y redo; in an empty field it brings back what was broken off"),
    ("Ctrl-C", "Copy what is selected, Ctrl-X cut, Ctrl-V paste, F7 select all"),
    ("Escape", "Break off; nothing is written"),
)
#: What is true on every screen.
_BESIDE = (
    "“Not taken”: the key came again within 0.8 s, or was held, or came before you could look. Let go, then press.",
    "“Were they walked?”: three stops were too fast or too uneven for a walk. y: they were; u takes them back.",
    "In a question: Enter answers, Backspace mends and breaks off; Escape breaks off too.",
    "Text: arrows, Home, End, Delete, Shift selects, Ctrl-Z undoes; Ctrl-J begins a line of a note.",
    "Mouse: a click does what the key does. Drag and Ctrl-C copies.",
    "A scanner that sends / before the label and Enter after it jumps there from any screen.",
    "Keys can be changed: docs/keys.md.",
    "Husbandry figures are house rules with their sources; a vet and local codes come first.",
)


class HelpScreen(RoundScreen):
    """The keys of the screen behind it."""

    NAME = "help"
    FOOTER: ClassVar[tuple[str, ...]] = ("help-back", "help-down", "help-page-down")

    def __init__(self, behind: str, asked: str = "") -> None:
        super().__init__()
        self._behind = BY_NAME[behind]
        #: Whether text is being typed there: its keys come first.
        self._typing = asked == "text"

    def body(self, width: int, height: int) -> list[Line]:
        shown: list[Line] = []
        if self._typing:
            shown += [line(" ", Span("Keys while text is typed", "title")), BLANK, *_rows(_TEXT, width), BLANK]
        for title, keys in (("Keys of this screen", self._behind.keys), ("On every screen", self._behind.common)):
            rows = _rows([(self.key_map.label(key), key.tip) for key in keys], width)
            shown += [line(" ", Span(title, "title")), BLANK, *rows, BLANK]
        for text in _BESIDE:
            shown += [line("   ", part) for part in wrap(text, width - 4)]
        return self.window(shown, height)


def _rows(keys: Sequence[tuple[str, str]], width: int) -> list[Line]:
    """What each key does, by how the key is named."""
    cells = max((len(label) for label, _ in keys), default=0) + 2
    return [
        line("   ", Span(fit(label if row == 0 else "", cells), "key"), part)
        for label, tip in keys
        for row, part in enumerate(wrap(tip, width - cells - 4))
    ]
