"""Keys in the order in which they are pressed, each answered by the screen in front before the next is looked at.

A label scanner, or a slow line over SSH, sends several keys at once. Textual would give them to a widget and look
for their bindings later, when another screen may be in front: an Enter meant for the jump to another stop would
walk this one.

A key counts at the moment it was read from the terminal: a machine that works off a thousand of them later does not
take them for presses. What came too soon to be a press is refused here.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import ClassVar, TypeVar

from textual import events
from textual.binding import BindingType
from textual.filter import LineFilter
from textual.screen import Screen

from rounds.screens.board.colours import colour_variables
from rounds.screens.board.uncoloured import Uncoloured
from rounds.screens.keys.guarded import GuardedApp
from rounds.screens.keys.key_map import KeyMap
from rounds.screens.keys.presses import Backspaces, Presses, Reach

Result = TypeVar("Result")


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

    def reach(self, key: str, character: str | None) -> Reach:
        """How far this key would reach now."""
        raise NotImplementedError

    def is_seen(self, key: str, moment: float) -> bool:
        """Whether what this key, read at a moment in s, would be done to can have been seen. Told of every key."""
        raise NotImplementedError

    def too_soon(self, key: str) -> None:
        """Say that keys come too soon to count, this one last."""
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

    def tell(self, text: str) -> None:
        """Say something until the next key, whether something is asked or not."""
        raise NotImplementedError


class KeyedApp(GuardedApp[Result]):
    """An app whose screens take their keys and pasted text one after the other."""

    TITLE = "rounds"
    CSS: ClassVar[str] = "Screen { background: $background; color: $foreground; }"
    BINDINGS: ClassVar[list[BindingType]] = []
    ENABLE_COMMAND_PALETTE = False  # the screens ask for a command on the board
    #: The keys as this keeper has them.
    key_map = KeyMap()

    def __init__(self) -> None:
        super().__init__()
        self.presses = Presses()
        self.backspaces = Backspaces()
        #: When the last key was read from the terminal, and the one before it, in s.
        self.pressed_at = self.pressed_before = 0.0
        #: What was typed and broken off in this run, by the question it was typed in, and by field.
        self.broken_off: dict[str, Mapping[str, str]] = {}

    def monotonic(self) -> float:
        """Seconds that go on evenly, by which keys and what is shown are timed."""
        return events.Idle().time  # the clock by which Textual times what it reads

    def read_at(self, event: events.Event) -> float:
        """When a key was read from the terminal, by `monotonic`: it may have waited since."""
        return event.time

    @property
    def seen_seconds(self) -> float:
        """How long something has to stand on the screen, and no key come, before it counts as seen, in s."""
        return 0.0

    def unwritten(self) -> list[str]:
        """What the app holds that leaving would drop, in words."""
        return []

    def paste_is_open(self) -> None:
        """Say that keys go into a paste that has not ended."""
        screen = self.screen
        if isinstance(screen, KeyedScreen):
            screen.tell("A paste began and has not ended: your keys go into it. Escape ends it.")

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
                await self._press(screen, event)
                return
        await super().on_event(event)

    async def _press(self, screen: KeyedScreen, event: events.Key) -> None:
        key, character = event.key, event.character
        self.pressed_before, self.pressed_at = self.pressed_at, (moment := self.read_at(event))
        reach: Reach = "leaves" if key == "ctrl+q" else screen.reach(key, character)
        seen = screen.is_seen(key, moment)
        if self.presses.refuses(key, moment, reach, seen=seen):
            if self.presses.tells:
                screen.too_soon(key)
        elif key == "ctrl+q":
            if not screen.unsaved and screen.may_leave("Ctrl-Q"):
                self.exit()
        elif key in ("ctrl+c", "super+c"):
            screen.copy()
        else:
            await screen.pressed(key, character)
