"""What every screen of the round shares: one board, what is asked in place, saving, and the key lines."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from pathlib import Path
from typing import TYPE_CHECKING, Any, ClassVar, Final

from rich.cells import cell_len
from textual.app import ComposeResult
from textual.screen import Screen

from rounds.errors import NotSaved, RoundsError
from rounds.logbook.entries import Entry
from rounds.screens.asks import BROKEN_OFF, OPEN, Ask, Talk
from rounds.screens.board import BLANK, Board, Line, Span, line, short, wrap
from rounds.screens.key_map import KeyMap
from rounds.screens.keys import BY_ID, EVERYWHERE, Key
from rounds.screens.saving import NotWritten, Save

if TYPE_CHECKING:
    from rounds.desk.shift import Shift
    from rounds.screens.app import RoundsApp


#: On a screen with fewer lines blank ones are left away.
SMALL: Final = 16


class RoundScreen(Screen[None]):
    """A screen made of one board. Subclasses give `body` and their keys."""

    KEYS: ClassVar[tuple[Key, ...]] = ()
    #: Keys that it shares with others.
    COMMON: ClassVar[tuple[Key, ...]] = EVERYWHERE
    #: Ids of the keys shown at the bottom, most useful first; the rest stands in help.
    FOOTER: ClassVar[tuple[str, ...]] = ()
    AUTO_FOCUS = "#board"

    app: RoundsApp

    def __init__(self) -> None:
        super().__init__()
        self.board = Board(id="board")
        self.ask: Ask | None = None
        self._talk: Talk | None = None
        self._saving: Save | None = None
        self._after: Callable[[], None] | None = None
        self.message = ""
        self.message_style = "quiet"
        #: The key lines as they were last laid out, and for which keys and width.
        self._keys_for: tuple[tuple[str, ...], int] | None = None
        self._keys_shown: list[Line] = []

    @property
    def key_map(self) -> KeyMap:
        """The keys as this keeper has them."""
        return self.app.key_map

    def label(self, id: str) -> str:
        """How a key is named, for a sentence that names it."""
        return self.key_map.label(BY_ID[id])

    @property
    def shift(self) -> Shift:
        """The shift under way."""
        return self.app.shift

    def compose(self) -> ComposeResult:
        yield self.board

    def on_screen_resume(self) -> None:
        """In front again: what was written on the screen that has been left counts here too."""
        self.paint()

    # What is shown

    def head(self, width: int) -> list[Line]:
        """The lines at the top."""
        return []

    def body(self, width: int, height: int) -> list[Line]:
        """What stands between the head and the keys, in at most `height` lines."""
        raise NotImplementedError

    def paint(self) -> None:
        """Lay out the lines anew and repaint."""
        width, height = self.board.size.width, self.board.size.height
        if not width or not height:
            return
        head = self.head(width)
        if height < SMALL:
            head = [] if self.ask is not None and self.ask.whole else [one for one in head if one]
        if self.ask is not None:
            asked = self.ask.lines(width, max(1, height - len(head)))
            keys: list[Line] = []
        else:
            asked = (
                [line(" ", Span(one, self.message_style)) for one in short(wrap(self.message, width - 2), 4)]
                if self.message
                else []
            )
            keys = self.key_lines(width)
        if self.ask is not None and self.ask.whole:
            shown = [*head, *asked]
        else:
            gap: list[Line] = [BLANK] if asked and height >= SMALL else []
            room = max(0, height - len(head) - len(gap) - len(asked) - len(keys))
            body = self.body(width, max(1, room))[:room]
            body += [BLANK] * (room - len(body))
            shown = [*head, *body, *gap, *asked, *keys]
        # Where there is no room for all of it, what is asked and the keys stay.
        self.board.show(shown[max(0, len(shown) - height) :])

    def key_lines(self, width: int) -> list[Line]:
        """The keys that matter here, in at most two lines; the last one (help) always finds room."""
        asked = (self.footer(), width)
        if asked != self._keys_for:
            ids = list(asked[0])
            while len(lines := self._packed(ids, width)) > 2 and len(ids) > 1:
                del ids[-2]
            self._keys_for, self._keys_shown = asked, lines[:2]
        return self._keys_shown

    def _packed(self, ids: Sequence[str], width: int) -> list[Line]:
        by_id = {key.id: key for key in (*self.KEYS, *self.COMMON)}
        lines: list[Line] = []
        row: list[Span] = []
        for key in (by_id[id] for id in ids):
            label = self.key_map.label(key)
            more = [Span("  " if row else " "), Span(label, "key"), Span(f" {key.word}")]
            if row and sum(cell_len(span.text) for span in (*row, *more)) >= width:
                lines.append(tuple(row))
                row = []
                more[0] = Span(" ")
            row += more
        return [*lines, tuple(row)] if row else lines

    def footer(self) -> tuple[str, ...]:
        """Ids of the keys to show now."""
        return self.FOOTER

    def say(self, text: str, style: str = "quiet") -> None:
        """Put a sentence above the keys until the next key."""
        self.message, self.message_style = text, style
        self.paint()

    # What is asked

    def converse(self, talk: Talk) -> None:
        """Begin a talk: ask its first question. What was asked before is broken off."""
        if self.unsaved:
            return
        self._end()
        self.message = ""
        self._talk = talk
        self._advance(None, first=True)

    def then(self, step: Callable[[], None]) -> None:
        """Have something done once the talk has ended, before the next key: going to another screen."""
        self._after = step

    @property
    def unsaved(self) -> bool:
        """Whether the disk did not take an entry and the keeper has not said yet what becomes of it."""
        return self._saving is not None

    async def pressed(self, key: str, character: str | None) -> None:
        """One key: an answer to what is asked, or else the screen's own."""
        if self.takes(key, character):
            return
        active = self.active_bindings
        # With Caps Lock on, a letter is still that letter.
        bound = active.get(key) or active.get(key.lower())
        if bound is not None and bound.enabled:
            await self.app.run_action(bound.binding.action, bound.node)

    def takes(self, key: str, character: str | None) -> bool:
        """Give a key to what is asked; False when nothing is."""
        if self.ask is None:
            if self.message:
                self.message = ""
                self.paint()
            return False
        if key == "f1" and not self.unsaved:
            return False
        self._answered(self.ask.takes(key, character))
        return True

    def pasted(self, text: str) -> None:
        """Give pasted text to what is asked; with nothing asked it is taken for a scanned label."""
        if self.ask is not None:
            self._answered(self.ask.pasted(text))
        elif text.strip():
            self.label_scanned(text.strip())

    def label_scanned(self, text: str) -> None:
        """A label was scanned, and nothing is asked."""
        self.app.jump_to_scanned(text)

    def _answered(self, answer: Any) -> None:
        if answer is OPEN:
            self.paint()
        elif self._saving is not None:
            self._after_failure(self._saving, answer)
        elif answer is BROKEN_OFF:
            self._end()
            self.paint()
            self.broken_off()
        else:
            self._advance(answer)

    def broken_off(self) -> None:
        """A question was broken off. Most screens have something to show without one."""

    def _advance(self, answer: Any, *, first: bool = False) -> None:
        talk = self._talk
        assert talk is not None
        self.ask = None
        try:
            asked = next(talk) if first else talk.send(answer)
            while isinstance(asked, Save):
                saved = self._save(asked)
                if saved is None:
                    return
                asked = talk.send(saved)
        except StopIteration:
            if self._talk is talk:
                self._end()
            self.paint()
            step, self._after = self._after, None
            if step is not None:
                step()
            return
        except RoundsError as error:
            self._end()
            self.say(str(error), "today")
        else:
            self.ask = asked
        self.paint()

    def _save(self, wanted: Save) -> tuple[Entry, ...] | None:
        """Write it; None when the disk did not take it and the keeper is being asked."""
        try:
            return wanted.write() if wanted.write is not None else self.shift.record(*wanted.drafts)
        except NotSaved as error:
            self._saving = wanted
            self.ask = NotWritten(str(error), wanted)
            self.app.bell()
            self.paint()
            return None

    def _after_failure(self, wanted: Save, answer: str) -> None:
        self._saving = None
        self.ask = None
        if answer == "again":
            saved = self._save(wanted)
            if saved is not None:
                self._advance(saved)
            return
        if answer == "elsewhere":
            try:
                path = self.app.write_elsewhere(wanted.drafts)
            except OSError as error:
                self._saving = wanted
                self.ask = NotWritten(f"That folder did not take it either: {error.strerror or error}.", wanted)
                self.paint()
                return
            self._end()
            self.say(
                f"Written to {path}, not to the logbook. When the disk is well again: "
                f"rounds log - < {Path(path).name}",
                "today",
            )
            return
        self._end()
        self.say("Dropped: not written down anywhere.", "today")

    def _end(self) -> None:
        talk, self._talk, self.ask, self._saving = self._talk, None, None, None
        if talk is not None:
            talk.close()

    # Keys of every screen

    def action_help(self) -> None:
        """Show what the keys of this screen do."""
        from rounds.screens.help import HelpScreen

        self.app.push_screen(HelpScreen(self.KEYS, self.COMMON))

    def action_commands(self) -> None:
        """What can be done here, by name."""
        from rounds.screens.palette import commands

        self.converse(commands(self))

    def action_jump(self) -> None:
        """Jump by a few letters or a scanned label."""
        self.converse(self.app.jump_talk(self))
