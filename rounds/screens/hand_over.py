"""Hand over: the sheet of this shift, notes for the next, and the signature."""

from __future__ import annotations

from collections import Counter
from collections.abc import Sequence
from typing import ClassVar

from rounds import folders, system
from rounds.desk.end_of_shift import hand_over_draft, hand_over_sheet, waiting
from rounds.desk.unfinished import NOTES
from rounds.due.line import DueLine
from rounds.due.matter import Level, Matter
from rounds.errors import RoundsError
from rounds.paper.words import first_words, many
from rounds.screens.board.board import BLANK, Line, Span, fit, line, sheet_lines
from rounds.screens.prompts.asks import Ask, Talk
from rounds.screens.prompts.choices import Choice, Confirm, Option
from rounds.screens.prompts.saving import Save
from rounds.screens.prompts.words import Words
from rounds.screens.screen import RoundScreen
from rounds.standing.clutch import called


class HandOverScreen(RoundScreen):
    """What the outgoing keeper signs."""

    NAME = "hand over"
    FOOTER: ClassVar[tuple[str, ...]] = (
        "sign",
        "next-notes",
        "save-text",
        "sheet-down",
        "hand-over-back",
        "attention",
        "help",
    )

    @property
    def notes(self) -> str:
        """Notes for the next keeper; they stay when this screen is left."""
        return self.app.notes

    def head(self, width: int) -> list[Line]:
        unread = self._unread()
        state = (
            Span(f"{many(len(off), 'vet-now matter')} on no sheet: {self.label('missing')}", "vet-now")
            if (off := self._off_sheet())
            else Span(f"{many(len(unread), 'vet-now matter')} unread: {self._answers}", "vet-now")
            if unread
            else Span(f"not done: {_named(undone)}", "today")
            if (undone := waiting(self.shift))
            else Span("ready to sign", "quiet")
        )
        title = f" {self.shift.desk.settings.name}   hand over   {self.shift.desk.keeper}"
        return [line(Span(fit(title, max(10, width - len(state.text) - 2)), "title"), state), BLANK]

    @property
    def _answers(self) -> str:
        """The keys that acknowledge."""
        return f"{self.label('attention')}, then {self.label('acknowledge')}"

    def _unread(self) -> list[Matter]:
        """Vet-now matters that no one has read: they forbid signing."""
        return [one for one in self.shift.matters if one.level is Level.VET_NOW and one.needs_acknowledging]

    def _off_sheet(self) -> list[Matter]:
        """Vet-now matters that stand on no sheet: they forbid signing until it is decided on them."""
        return [one for one in self.shift.matters if one.level is Level.VET_NOW and one.on_no_sheet]

    def body(self, width: int, height: int) -> list[Line]:
        sheet = hand_over_sheet(self.shift, self.notes)
        return self.window([line(one) for one in sheet_lines(sheet, width)], height)

    def action_notes(self) -> None:
        """Notes for the next keeper."""

        def talk() -> Talk:
            yield from self._noting()
            told = f"Noted for the next: “{first_words(self.notes)}”." if self.notes else "No notes for the next."
            self.say(f"{told} {self.label('sign')} signs.", "good")

        self.converse(talk())

    def _noting(self) -> Talk:
        typed = f"{self.notes}\n" if self.notes else ""  # what is added begins a line of its own
        self.app.notes = yield Words(NOTES, typed=typed, optional=True, several=True)

    def action_sign(self) -> None:
        """Sign and hand over."""
        self.converse(self._signing())

    def _signing(self) -> Talk:
        if off := self._off_sheet():
            matters = " ".join(one.says for one in off)
            self.say(f"Not signed. {matters} {self.label('missing')} brings it back or leaves it.", "vet")
            return
        unread = self._unread()
        if unread:
            matters = "; ".join(one.says for one in unread)
            self.say(f"Not signed. Nobody has acknowledged: {matters} {self._answers}.", "vet")
            return
        undone = waiting(self.shift)
        asked = [f"{self.shift.desk.keeper} hands over. The sheet is written to the logbook as it stands."]
        if undone:
            whose = ", ".join(dict.fromkeys(called(self.shift.desk.standing, due.about) for due in undone))
            asked.insert(0, f"Not done on this walk: {_named(undone)} ({whose}). Sign all the same?")
        while not self.notes:
            # Enter is under the thumb: while an animal still waits, it does not sign.
            signs, notes = Option("y", "sign", True), Option("n", "notes for the next first", False)
            told = [*asked, "No notes for the next."]
            if (yield _seen(Choice(" ".join(told), [signs, notes], start=None if undone else 0))):
                break
            yield from self._noting()
        if self.notes:
            told = [*asked, f"With your notes: “{first_words(self.notes)}”."]
            if not (yield _seen(Confirm(told, yes="sign", no="not yet", by_enter=not undone))):
                self.say(f"Not signed. Your notes stay; {self.label('sign')} signs.", "today")
                return
        saved = yield Save(hand_over_draft(self.shift, self.notes))
        if saved:
            self.then(self._handed_over)

    def _handed_over(self) -> None:
        self.shift.desk.keeper = self.app.notes = ""
        self.app.shift_handed_over()

    def action_save_text(self) -> None:
        """Write the sheet to a text file."""
        now = self.shift.now()
        try:
            sheet = (hand_over_sheet(self.shift, self.notes) + "\n").encode(errors="replace")
            path = system.write_new_file(folders.home(), f"hand-over-{now:%Y-%m-%d-%H%M}", ".txt", sheet)
        except (OSError, RoundsError) as error:
            told = error.strerror if isinstance(error, OSError) and error.strerror else error
            self.say(f"The file was not written to your home folder: {told}", "today")
        else:
            self.say(f"Written to {path}", "good")


def _seen(ask: Ask) -> Ask:
    """A question that is answered once it has been seen: no one signs by a key pressed before."""
    ask.to_be_seen = True
    return ask


def _named(waiting: Sequence[DueLine]) -> str:
    """`8 egg checks, 1 treatment`."""
    counts = Counter(due.care for due in waiting)
    return ", ".join(many(count, care) for care, count in sorted(counts.items()))
