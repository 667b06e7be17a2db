"""The field that text is typed in: a text area of Textual, given its keys by the screen, so that they come in turn.

It brings what people know from elsewhere: arrows, Delete, words at a time, selection, undo, wide letters. The
terminal's own cursor stands where the next letter goes: screen readers, magnifiers and input methods follow it.
"""

from __future__ import annotations

import unicodedata
from typing import Final

from textual.binding import Binding
from textual.geometry import Offset, Region
from textual.widgets import TextArea

from rounds.paper.plain_text import shown
from rounds.screens.prompts.asks import letter_of
from rounds.screens.prompts.text_rows import TextRows

#: What begins a line. Every terminal sends Ctrl-J; the others only by the kitty keyboard protocol.
_NEW_LINE: Final = ("ctrl+j", "shift+enter", "alt+enter")
#: The keys of the stock text area and its action for each.
_ACTIONS: Final = {
    key: binding.action
    for binding in TextArea.BINDINGS
    if isinstance(binding, Binding)
    for key in binding.key.split(",")
}


class TextField(TextRows):
    """The one text field of a screen: hidden until a question has a text to be typed."""

    DEFAULT_CSS = """
    TextField, TextField:focus {
        layer: text; position: absolute; display: none; width: 1; height: 1; padding: 0; border: none;
        color: $text; background: $panel; text-style: bold;
        scrollbar-size: 0 0;
        & .text-area--cursor { color: $text; background: $panel; text-style: bold underline; }
        & .text-area--selection { color: $text; background: $panel; text-style: bold reverse; }
    }
    """

    def __init__(self) -> None:
        super().__init__(compact=True, highlight_cursor_line=False, id="text")
        self.cursor_blink = False
        self.match_cursor_bracket = False
        #: Whether it may hold several lines.
        self._several = False
        self._at = Region()
        self._has_cursor_of_terminal = False

    # What stands in it

    def open(self, text: str, *, several: bool, lost: str = "") -> None:
        """Begin with this text, the cursor behind it; what was undone before is forgotten.

        Where a text was `lost`, undoing brings it back.
        """
        self._several = several
        self.load_text(safe(lost or text))
        self.to_end()
        if lost:
            self.hold(text)

    def to_end(self) -> None:
        """The cursor behind the text, and nothing selected."""
        self.move_cursor(self.document.end)

    def hold(self, text: str) -> None:
        """Have this text instead of what stands there, as an edit that can be undone."""
        self.replace(safe(text), (0, 0), self.document.end, maintain_selection_offset=False)

    def writes(self, key: str, character: str | None) -> bool:
        """Whether a key puts something into the text, and does not only mend what stands there."""
        return bool(letter_of(key, character))

    async def press(self, key: str, character: str | None, most: int) -> None:
        """One key: a letter, or what the stock text area does with it."""
        letter = letter_of(key, character)
        self.begin_mending()
        try:
            if key in _NEW_LINE:
                if self._several:
                    self.put("\n", most)
            elif key in _ACTIONS:
                await self.run_action(_ACTIONS[key])
            elif letter:
                self._type(letter, most)
        finally:
            self.end_mending()

    def _type(self, letter: str, most: int) -> None:
        """A letter, or a mark (as from a dead key) that makes one with the letter before it."""
        row, column = self.cursor_location
        if unicodedata.combining(letter) and column and not self.selected_text:
            before = (row, column - 1)
            both = unicodedata.normalize("NFC", self.get_text_range(before, (row, column)) + letter)
            if len(both) == 1:
                self.replace(both, before, (row, column), maintain_selection_offset=False)
                return
        self.put(letter, most)

    def put(self, text: str, most: int) -> bool:
        """Put text in the place of what is selected; whether there was room for all of it."""
        room = max(0, most - len(self.text) + len(self.selected_text))
        self.replace(text[:room], *self.selection, maintain_selection_offset=False)
        return len(text) <= room

    def goes(self, key: str) -> bool:
        """Whether an arrow up or down has a row to go to in the text."""
        return (key == "up" and not self._in_row(0)) or (
            key == "down" and not self._in_row(self.wrapped_document.height - 1)
        )

    def _in_row(self, row: int) -> bool:
        return self.wrapped_document.location_to_offset(self.cursor_location).y == row

    # Where it lies

    def lie(self, at: Region) -> None:
        """Lie over this part of the screen, and have the terminal's cursor."""
        if at != self._at or not self.display:
            self._at = at
            self.styles.offset = (at.x, at.y)
            self.styles.width, self.styles.height = at.width, at.height
            self.display = True
            self.call_after_refresh(self._settle)
        if self.screen.focused is not self:
            self.screen.set_focus(self, scroll_visible=False)
        self.show_cursor_of_terminal(True)

    @property
    def cursor_screen_offset(self) -> Offset:
        """Where the cursor stands on the screen: by where the field is to lie, also before it has been laid out."""
        return super().cursor_screen_offset - self.content_region.offset + self._at.offset

    def leave(self) -> None:
        """Hide."""
        if self.display:
            self.display = False
            self.screen.set_focus(None)
        self.show_cursor_of_terminal(False)

    def on_resize(self) -> None:
        """The cursor stays in sight."""
        self._settle()

    def _settle(self) -> None:
        """The cursor of the terminal where the next letter goes, once it is known where the field lies."""
        self.scroll_cursor_visible()
        if self.display and self.app.cursor_position != self.cursor_screen_offset:
            self.app.cursor_position = self.cursor_screen_offset
            self.refresh()

    def show_cursor_of_terminal(self, there: bool) -> None:
        """Show the cursor of the terminal, or hide it: Textual places it and never shows it."""
        driver = self.app._driver
        if driver is not None and there != self._has_cursor_of_terminal:
            self._has_cursor_of_terminal = there
            driver.write("\x1b[?25h" if there else "\x1b[?25l")


def typable(text: str) -> list[str]:
    """Pasted text as lines of what can be typed, composed (Unicode NFC); a tab is a blank."""
    lines = unicodedata.normalize("NFC", text.replace("\t", " ")).splitlines()
    return ["".join(letter for letter in line if letter.isprintable()) for line in lines]


def safe(text: str) -> str:
    """A text as a terminal may be given it, its line ends kept."""
    return shown(text, lines=True)
