"""Keys in the order in which they are pressed, each answered by the screen in front before the next is looked at.

A label scanner, or a slow line over SSH, sends several keys at once. Textual would give them to a widget and look
for their bindings later, when another screen may be in front: an Enter meant for the jump to another stop would
walk this one.
"""

from __future__ import annotations

import time
from collections.abc import Mapping, Sequence
from typing import ClassVar, Final, TypeVar

from textual import events
from textual.app import App
from textual.binding import BindingType
from textual.driver import Driver
from textual.filter import LineFilter
from textual.screen import Screen

from rounds.screens.board.colours import colour_variables
from rounds.screens.board.uncoloured import Uncoloured
from rounds.screens.keys.key_map import KeyMap

Result = TypeVar("Result")
#: Backspaces that follow each other within this time are one that is held down, in s. A keyboard waits up to
#: two thirds of a second before it repeats a key.
HELD: Final = 0.8


class Backspaces:
    """Backspaces in a row. One that is held down ends at the empty field: it runs neither out of the question nor
    on into what Backspace does on the screen behind it."""

    def __init__(self) -> None:
        self._last: float | None = None
        #: Whether the last key was a Backspace so soon behind another that it is held down.
        self.held = False
        #: Whether those held down were begun in a question.
        self.from_question = False
        #: Whether one of them has deleted something.
        self.deleted = False

    def press(self, key: str, moment: float, *, asked: bool) -> None:
        """A key, the moment in s, and whether something is asked."""
        if key != "backspace":
            self._last, self.held, self.from_question, self.deleted = None, False, False, False
            return
        self.held = self._last is not None and moment - self._last < HELD
        self.from_question = asked or (self.held and self.from_question)
        self._last = moment


class KeyedScreen(Screen[None]):
    """A screen that takes its keys from the app, one after the other."""

    @property
    def unsaved(self) -> bool:
        """Whether the disk did not take an entry and the keeper has not said yet what becomes of it."""
        raise NotImplementedError

    def say(self, text: str, style: str = "quiet") -> None:
        """Put a sentence above the keys until the next key."""
        raise NotImplementedError

    def may_leave(self, key: str) -> bool:
        """Whether the app may be left by this key now; what would be dropped is said first."""
        raise NotImplementedError

    async def pressed(self, key: str, character: str | None) -> None:
        """One key: an answer to what is asked, or else the screen's own."""
        raise NotImplementedError

    async def pasted(self, text: str) -> None:
        """Text pasted, or a label scanned."""
        raise NotImplementedError

    def copy(self) -> None:
        """Copy what is selected; where nothing is, say how to leave."""
        raise NotImplementedError


class KeyedApp(App[Result]):
    """An app whose screens take their keys and pasted text one after the other."""

    TITLE = "rounds"
    CSS: ClassVar[str] = "Screen { background: $background; color: $foreground; }"
    BINDINGS: ClassVar[list[BindingType]] = []
    ENABLE_COMMAND_PALETTE = False  # the screens ask for a command on the board
    #: The keys as this keeper has them.
    key_map = KeyMap()

    def __init__(self) -> None:
        super().__init__()
        self.backspaces = Backspaces()
        #: What was typed and broken off in this run, by the question it was typed in, and by field.
        self.broken_off: dict[str, Mapping[str, str]] = {}

    def monotonic(self) -> float:
        """Seconds that go on evenly, by which a key that is held down is told from one pressed again."""
        return time.monotonic()

    def unwritten(self) -> list[str]:
        """What the app holds that leaving would drop, in words."""
        return []

    def get_driver_class(self) -> type[Driver]:
        """Textual's own for this system."""
        driver = super().get_driver_class()
        if driver.__module__ == "textual.drivers.linux_driver":
            from rounds.screens.keys.lenient import read_on

            read_on()
        return driver

    def get_css_variables(self) -> dict[str, str]:
        """Colours by what they mean; a word stands beside each of them."""
        return super().get_css_variables() | colour_variables(self.current_theme)

    def get_line_filters(self) -> Sequence[LineFilter]:
        """What every line goes through: under NO_COLOR all colour is taken away."""
        return [Uncoloured()] if self.no_color else super().get_line_filters()

    async def on_event(self, event: events.Event) -> None:
        if isinstance(event, events.Key | events.Paste) and not event.is_forwarded and self.screen_stack:
            screen = self.screen
            if isinstance(screen, KeyedScreen):
                if not screen.is_attached:
                    return  # the app is ending: what comes behind the key that ended it is for no screen
                if isinstance(event, events.Paste):
                    await screen.pasted(event.text)
                    return
                if event.key == "ctrl+q":
                    if not screen.unsaved and screen.may_leave("Ctrl-Q"):
                        self.exit()
                elif event.key in ("ctrl+c", "super+c"):
                    screen.copy()
                else:
                    await screen.pressed(event.key, event.character)
                return
        await super().on_event(event)
