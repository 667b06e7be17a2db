"""Help: what every key of the screen does. Read from the register of keys."""

from __future__ import annotations

from typing import ClassVar

from rounds.screens.board import BLANK, Line, Span, fit, line, wrap
from rounds.screens.keys import EVERYWHERE, Key, bindings
from rounds.screens.screen import RoundScreen

HELP_KEYS = (
    Key("help-back", "backspace,enter,left,escape,question_mark", "back", "back", "Back", "Enter"),
    Key("help-up", "up,k", "scroll(-1)", "up", "Up", "↑"),
    Key("help-down", "down", "scroll(1)", "down", "Down", "↓"),
)


class HelpScreen(RoundScreen):
    """The keys of the screen behind it."""

    KEYS = HELP_KEYS
    BINDINGS = bindings(HELP_KEYS)
    FOOTER: ClassVar[tuple[str, ...]] = ("help-back", "help-down")

    def __init__(self, name: str, keys: tuple[Key, ...]) -> None:
        super().__init__()
        self._of = name.removesuffix("Screen").lower()
        self._keys = keys
        self.top = 0

    def body(self, width: int, height: int) -> list[Line]:
        shown: list[Line] = [line(" ", Span("Keys of this screen", "title")), BLANK]
        for keys, title in ((self._keys, ""), (EVERYWHERE, "On every screen")):
            if title:
                shown += [BLANK, line(" ", Span(title, "title")), BLANK]
            for key in keys:
                for row, part in enumerate(wrap(key.tip, width - 16)):
                    shown.append(line("   ", Span(fit(key.label if row == 0 else "", 11), "key"), " ", part))
        shown += [
            BLANK,
            line("   ", "In a question: Enter answers, Backspace mends and breaks off, Escape breaks off."),
            line("   ", "Ctrl-P opens the list of commands by name."),
            line("   ", "Husbandry figures are house rules with their sources; a vet and local codes come first."),
        ]
        self.top = max(0, min(self.top, len(shown) - height))
        return shown[self.top : self.top + height]

    def action_scroll(self, step: int) -> None:
        """Scroll."""
        self.top = max(0, self.top + step)
        self.paint()

    def action_back(self) -> None:
        """Back."""
        self.app.pop_screen()
