"""Help: what every key of the screen does. Read from the register of keys."""

from __future__ import annotations

from typing import ClassVar

from rounds.screens.board.board import BLANK, Line, Span, fit, line, wrap
from rounds.screens.keys.register import Key
from rounds.screens.keys.screens import BY_NAME
from rounds.screens.screen import RoundScreen

#: What is true on every screen.
_BESIDE = (
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

    def __init__(self, behind: str) -> None:
        super().__init__()
        self._behind = BY_NAME[behind]

    def body(self, width: int, height: int) -> list[Line]:
        shown: list[Line] = [line(" ", Span("Keys of this screen", "title")), BLANK]
        shown += self._rows(self._behind.keys, width)
        shown += [BLANK, line(" ", Span("On every screen", "title")), BLANK]
        shown += self._rows(self._behind.common, width)
        shown.append(BLANK)
        for text in _BESIDE:
            shown += [line("   ", part) for part in wrap(text, width - 4)]
        return self.window(shown, height)

    def _rows(self, keys: tuple[Key, ...], width: int) -> list[Line]:
        labels = [self.key_map.label(key) for key in keys]
        cells = max((len(label) for label in labels), default=0) + 2
        return [
            line("   ", Span(fit(label if row == 0 else "", cells), "key"), part)
            for key, label in zip(keys, labels, strict=True)
            for row, part in enumerate(wrap(key.tip, width - cells - 4))
        ]
