"""What every screen asks in place, one question after the other, and how what was answered is written."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from pathlib import Path
from typing import Any

from textual.binding import ActiveBinding

from rounds.desk.shift import Shift
from rounds.errors import NotSaved, RoundsError
from rounds.logbook.entries import ROOM, Entry
from rounds.paper.words import first_words
from rounds.screens.board.board import Line, Span, line, short, wrap
from rounds.screens.keys.dispatch import KeyedScreen
from rounds.screens.navigation import Navigation
from rounds.screens.prompts.asks import BROKEN_OFF, OPEN, Ask, Talk, Typed
from rounds.screens.prompts.choices import Confirm
from rounds.screens.prompts.saving import NotWritten, Save
from rounds.screens.prompts.writing import Writing
from rounds.screens.record.unsaved import draft_words
from rounds.screens.record.validating import validated


class TalkScreen(KeyedScreen):
    """A screen that holds a talk: it asks what the talk asks, and writes what it has to write."""

    app: Navigation

    def __init__(self) -> None:
        super().__init__()
        self.message = ""
        self.message_style = "quiet"
        self.ask: Ask | None = None
        self.writing = Writing(self, lambda: self.paint())
        self._talk: Talk | None = None
        self._saving: Save | None = None
        #: A save that waits for a yes, and the sentences of this talk that have had one.
        self._doubted: Save | None = None
        self._agreed: set[str] = set()
        #: What was typed in this talk and is not written yet; whether Backspace has said that it would drop it.
        self._gathered: list[str] = []
        self._typed: dict[str, Mapping[str, str]] = {}
        #: The question last answered in words or figures, and what was typed there, by field.
        self._answered_last: tuple[str, dict[str, str]] = ("", {})
        #: The subject that this talk is about.
        self.talks_of = ROOM
        self._warned_to_drop = False
        #: Whether this key, and the key before, said what leaving would drop.
        self._warned_to_leave = self._said_leaving = False
        #: A sentence below what is asked, until the next key.
        self.notice = ""
        self._after: Callable[[], None] | None = None
        #: The key that is being answered.
        self._key = ""

    @property
    def shift(self) -> Shift:
        """The shift under way."""
        return self.app.shift

    def whom(self) -> str:
        """The subject that what is asked now would be about."""
        return ROOM

    def unfinished(self) -> tuple[str, dict[str, str], str] | None:
        """What was typed in this talk and is not written: the question, its fields, all of it in words."""
        ask = self.ask
        typed = ask.in_words() if ask is not None else ""
        words = (
            list(self._saving.says) if self._saving is not None else [*self._gathered, *([typed] if typed else [])]
        )
        asked, held = (ask.title, ask.held) if ask is not None and typed else self._answered_last
        return (asked, held, ", ".join(words)) if words else None

    def paint(self) -> None:
        """Lay out the lines again and repaint."""
        raise NotImplementedError

    def say(self, text: str, style: str = "quiet") -> None:
        """Put a sentence above the keys until the next key."""
        self.message, self.message_style = text, style
        self.paint()

    def say_gone(self, text: str) -> None:
        """Say that the one selected is gone, perhaps by another desk, behind what was said last."""
        if self.ask is None:
            self.message = f"{self.message.rstrip('.')}. {text}" if self.message else text
            self.message_style = "today"

    def tell(self, text: str) -> None:
        """Say something until the next key, whether something is asked or not."""
        if self.ask is None:
            self.say(text)
        else:
            self.notice = text
            self.paint()

    def converse(self, talk: Talk) -> None:
        """Begin a talk: ask its first question. What was asked before is broken off."""
        if self.unsaved:
            return
        self._end()
        self.message = ""
        self._talk, self.talks_of = talk, self.whom()
        self._advance(None, first=True)

    def bell(self) -> None:
        """Sound the terminal's bell."""
        self.app.bell()

    def then(self, step: Callable[[], None]) -> None:
        """Have something done once the talk has ended, before the next key: going to another screen."""
        self._after = step

    @property
    def unsaved(self) -> bool:
        """Whether the disk did not take an entry and the keeper has not said yet what becomes of it."""
        return self._saving is not None

    def bound(self, key: str) -> ActiveBinding | None:
        """What this key does on this screen, when nothing is asked."""
        active = self.active_bindings
        # With Caps Lock on, a letter is still that letter.
        bound = active.get(key) or active.get(key.lower())
        return bound if bound is not None and bound.enabled else None

    @property
    def has_typed(self) -> bool:
        """Whether something was typed in this talk that is not written yet."""
        return bool(self._gathered)

    async def pressed(self, key: str, character: str | None) -> None:
        """One key: an answer to what is asked, or else the screen's own."""
        self._key = key.lower()
        self._said_leaving, self._warned_to_leave = self._warned_to_leave, False
        if await self.takes(key, character):
            return
        bound = self.bound(key)
        if bound is not None:
            await self.app.run_action(bound.binding.action, bound.node)

    async def takes(self, key: str, character: str | None) -> bool:
        """Give a key to what is asked; False when nothing is."""
        backspaces = self.app.backspaces
        backspaces.press(key, self.app.pressed_at, asked=self.ask is not None)
        self.notice = ""
        if self.ask is None:
            if backspaces.held and backspaces.from_question:
                return True
            if self.message:
                self.message = ""
                self.paint()
            return False
        if key == "f1" and not self.unsaved:
            return False
        answer = await self.writing.press(self.ask, key, character)
        warned, self._warned_to_drop = self._warned_to_drop, False
        if answer is BROKEN_OFF and key == "backspace" and self._stays_open(warned):
            self._warned_to_drop = True
            self.tell(
                f"Backspace again drops what you wrote: {', '.join(self._gathered)}."
                if self._gathered
                else "Empty. Wait a moment, then Backspace breaks off."
            )
        else:
            backspaces.deleted |= key == "backspace" and answer is OPEN and isinstance(self.ask, Typed)
            self._answered(answer)
        return True

    def _stays_open(self, warned: bool) -> bool:
        """Whether a Backspace on an empty line does not break off yet: what was typed would be lost without a word,
        or the thumb is on the key still and the next words would be keys of the screen."""
        backspaces = self.app.backspaces
        return backspaces.held or (not warned and (backspaces.deleted or bool(self._gathered)))

    def may_leave(self, key: str) -> bool:
        """Whether the app may be left by this key now: what would be dropped is said first, once."""
        if key == "Ctrl-Q":
            self._said_leaving = self._warned_to_leave
        typed = self.ask.in_words() if self.ask is not None else ""
        dropped = [*self._gathered, *([typed] if typed else []), *self.app.unwritten()]
        if not dropped or self._said_leaving:
            return True
        self._warned_to_leave = True
        self.tell(f"Not left. {key} again leaves and drops {first_words(', '.join(dropped), 120)}.")
        return False

    async def pasted(self, text: str) -> None:
        """Give pasted text to what is asked; with nothing asked it is taken for a scanned label."""
        self.notice = ""
        if self.ask is not None:
            if self.ask.in_field is None and not isinstance(self.ask, Typed):
                self.tell("A paste answers nothing here: press a key of the question.")
            else:
                self._answered(await self.writing.paste(self.ask, text))
        elif text.strip():
            self.label_scanned(text.strip())

    def label_scanned(self, text: str) -> None:
        """A label was scanned, and nothing is asked."""
        self.app.label_scanned(text)

    def _answered(self, answer: Any) -> None:
        if answer is OPEN:
            self.paint()
        elif self._saving is not None:
            self._after_failure(self._saving, answer)
        elif self._doubted is not None:
            self._after_doubt(self._doubted, answer)
        elif answer is BROKEN_OFF:
            typed = self.ask.in_words() if self.ask is not None else ""
            dropped = self._dropped([*self._gathered, *([typed] if typed else [])])
            self._end()
            if dropped:
                self.message, self.message_style = dropped, "today"
            self.paint()
            self.broken_off()
        else:
            self._note_answer(answer)
            self._advance(answer)

    def _dropped(self, typed: list[str]) -> str:
        """What is said of something broken off. Its texts are kept for when the same is asked again."""
        if self.ask is not None and self.ask.texts:
            self._typed[self.ask.title] = self.ask.texts
        self.app.broken_off |= self._typed
        again = " Asked again, Ctrl-Z brings it back." if self._typed else ""
        return f"Not written: {first_words(', '.join(typed), 160)}.{again}" if typed else ""

    def _note_answer(self, answer: Any) -> None:
        if self.ask is not None and self.ask.texts:
            self._typed[self.ask.title] = self.ask.texts
        if isinstance(self.ask, Typed) and answer is not None and (typed := self.ask.in_words()):
            self._gathered.append(typed)
            self._answered_last = self.ask.title, self.ask.held
        if isinstance(self.ask, Confirm) and answer is True:
            self._agreed.update(self.ask.says)
        elif isinstance(self.ask, Confirm) and not self.ask.by_enter:
            del self._gathered[-1:]  # a figure that was doubted and not agreed to is typed again

    def broken_off(self) -> None:
        """A question was broken off. Most screens have something to show without one."""

    def _advance(self, answer: Any, *, first: bool = False) -> None:
        talk = self._talk
        assert talk is not None
        self.ask = None
        try:
            asked = next(talk) if first else talk.send(answer)
            while isinstance(asked, Save):
                if not self._may_be_written(asked):
                    if self._doubted is not None:
                        return
                    asked = talk.send(())
                    continue
                saved = self._save(asked)
                if saved is None:
                    return
                self._written()
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
            asked.brought_by = self._key
            asked.lost = self.app.broken_off.get(asked.title, asked.lost)
        self.paint()

    def _written(self) -> None:
        """What was typed up to here is on disk."""
        for title in self._typed:
            self.app.broken_off.pop(title, None)
        self._typed.clear()
        self._gathered.clear()
        self._answered_last = ("", {})
        self.app.typed_changed()

    def _may_be_written(self, wanted: Save) -> bool:
        """Whether a save can be written as it stands; what is doubtful about it is asked."""
        checked = validated(self.shift, wanted.judged, wanted.excluding)
        if checked.refused:
            self.say(checked.refused, "today")
            return False
        if wanted.drafts:
            wanted.drafts = checked.drafts
        asked = [one for one in checked.asked if one not in self._agreed and one not in wanted.agreed]
        if not asked:
            return True
        self._doubted = wanted
        self.ask = Confirm(asked, yes="write it", no="do not write it", by_enter=False)
        self.paint()
        return False

    def _after_doubt(self, wanted: Save, answer: bool) -> None:
        self._doubted = None
        if isinstance(self.ask, Confirm) and answer is True:
            self._agreed.update(self.ask.says)
        self.ask = None
        if answer is not True:
            self.say(self._dropped(self._gathered) or "Not written.", "today")
            self._advance(())
            return
        saved = self._save(wanted)
        if saved is not None:
            self._written()
            self._advance(saved)

    def _save(self, wanted: Save) -> tuple[Entry, ...] | None:
        """Write it; None when the disk did not take it and the keeper is being asked."""
        try:
            return wanted.write() if wanted.write is not None else self.shift.record(*wanted.drafts)
        except NotSaved as error:
            self._saving = wanted
            desk, now = self.shift.desk, self.shift.now()
            wanted.says = wanted.says or [
                draft_words(desk.standing, one, now, desk.keeper or "?") for one in wanted.drafts
            ]
            self.ask = NotWritten(error.reason, wanted)
            self.bell()
            self.paint()
            return None

    def _after_failure(self, wanted: Save, answer: str) -> None:
        self._saving = None
        self.ask = None
        if answer == "again":
            saved = self._save(wanted)
            if saved is not None:
                self._written()
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
        self._doubted, self._warned_to_drop, self.notice = None, False, ""
        self._gathered.clear()
        self._answered_last = ("", {})
        self._typed.clear()
        self._agreed.clear()
        if talk is not None:
            talk.close()

    def notice_lines(self, width: int) -> list[Line]:
        """What is said below what is asked."""
        return (
            [line(" ", Span(one, "today")) for one in short(wrap(self.notice, width - 2), 2)] if self.notice else []
        )
