"""The text field of a screen and the question that is asked: which of them a key or a paste is for."""

from __future__ import annotations

import asyncio
from collections.abc import Callable
from typing import TYPE_CHECKING, Any

from textual.geometry import Region
from textual.screen import Screen

from rounds.screens.prompts.asks import OPEN, PASTE, TO_FIELD, Ask

if TYPE_CHECKING:
    from rounds.screens.prompts.text_field import TextField


class Writing:
    """The text field of one screen: made once the first frame is out, shown while an ask has a text to be typed."""

    def __init__(self, screen: Screen[Any], paint: Callable[[], None]) -> None:
        self._screen = screen
        self._paint = paint
        self._field: TextField | None = None
        self._making = asyncio.Lock()
        #: Whose text stands in the field, which of its texts, and the text as the ask had it last.
        self._of: tuple[Ask, int] | None = None
        self._text = ""

    async def make_ready(self) -> None:
        """Have the field before its first letter is typed, unless the screen was left meanwhile."""
        if self._screen.is_attached:
            await self.ready()

    async def ready(self) -> TextField:
        """The field, made the first time: its import and its mounting take longer than a key may."""
        async with self._making:
            if self._field is None:
                from rounds.screens.prompts.text_field import TextField

                field = TextField()
                await self._screen.mount(field)
                self._field = field
        return self._field

    async def press(self, ask: Ask, key: str, character: str | None) -> Any:
        """A key pressed while this is asked; the answer, or `OPEN`."""
        if ask.in_field is None:
            return ask.takes(key, character)
        if key in PASTE:  # what was copied here ends in no Enter
            return await self.paste(ask, self._screen.app.clipboard.rstrip("\r\n"))
        field = await self.ready()
        self._hold(field, ask)
        to_field, offered = not ask.by_arrows and field.goes(key), ask.offers
        answer = TO_FIELD if to_field else ask.takes(key, character)
        if answer is not TO_FIELD:
            return answer
        if field.writes(key, character):
            ask.before_typing()
            self._hold(field, ask)
        elif offered and key == "backspace":
            field.to_end()  # it mends what is offered; a letter replaces it
        before = field.text
        await field.press(key, character, ask.most_letters)
        self._tell(field, ask, before)
        return OPEN

    async def paste(self, ask: Ask, text: str) -> Any:
        """Text pasted. One line and its end, as a scanner sends it, is as typed with Enter behind it."""
        if ask.in_field is None:
            return ask.pasted(text)
        from rounds.screens.prompts.text_field import typable

        field = await self.ready()
        lines = typable(text.strip("\r\n"))
        if not any(lines):
            return OPEN
        ask.wrong = ""
        ask.before_typing()
        self._hold(field, ask)
        before = field.text
        whole = field.put(("\n" if ask.several else " ").join(lines), ask.most_letters)
        self._tell(field, ask, before)
        if not whole:
            ask.wrong = f"Not all of it: {ask.most_letters:,} letters find room here."
        elif len(lines) > 1 and not ask.several:
            ask.wrong = f"{len(lines)} lines were pasted and joined: here stands one."
        elif len(lines) == 1 and text[-1:] in "\r\n" and not ask.several:
            return ask.takes("enter", None)
        return OPEN

    @property
    def selected(self) -> str:
        """What is selected in the field."""
        return self._field.selected_text if self._field is not None and self._field.display else ""

    def place(self, ask: Ask | None, at: Region | None) -> None:
        """Show the field there with the text of this ask, or hide it."""
        if ask is None or ask.in_field is None or at is None or not self._screen.is_current:
            self._of = self._of if ask is not None else None
            if self._field is not None:
                self._field.leave()
        elif self._field is None:
            self._screen.call_later(self._place_late)
        else:
            self._hold(self._field, ask)
            self._field.lie(at)

    def hide(self) -> None:
        """Another screen comes in front."""
        if self._field is not None:
            self._field.show_cursor_of_terminal(False)

    async def _place_late(self) -> None:
        await self.make_ready()
        self._paint()

    def _hold(self, field: TextField, ask: Ask) -> None:
        """Have what the ask has: a text that was begun again, or changed by one of the ask's own keys."""
        text = ask.in_field or ""
        if self._of != (ask, ask.at):
            self._of = ask, ask.at
            field.open(text, several=ask.several, lost=ask.lost.get(ask.field_name, ""))
        elif text != self._text:
            field.hold(text)
        else:
            return
        if ask.offers:
            field.select_all()
        self._text = text

    def _tell(self, field: TextField, ask: Ask, before: str) -> None:
        """Tell the ask what stands in its field now, if that is something else."""
        if field.text != before:
            ask.edited(field.text)
            self._text = ask.in_field or ""
