"""Take over: what the last keeper left, which matters are open, and who is on shift now."""

from __future__ import annotations

import re
from functools import partial
from typing import ClassVar

from rounds.due.matter import Level, Matter
from rounds.logbook.drafts import draft
from rounds.logbook.entries import Acknowledged, HandedOver, TakenOver
from rounds.paper.words import CAUTION, SALMONELLA, damaged, many, stamp_words, vet_words
from rounds.screens.board.board import BLANK, Line, Span, fit, line, sheet_lines, wrap
from rounds.screens.prompts.asks import Talk
from rounds.screens.prompts.choices import Confirm, Read
from rounds.screens.prompts.initials import as_initials
from rounds.screens.prompts.saving import Save
from rounds.screens.prompts.words import Words
from rounds.screens.record.bringing_back import bring_back
from rounds.screens.screen import RoundScreen
from rounds.screens.views.matter import RULE, whole_matter
from rounds.screens.views.missing import urgent_rows
from rounds.screens.views.stop import STYLE_OF_LEVEL, level_word


class TakeOverScreen(RoundScreen):
    """The start of a shift. The vet matters must be acknowledged, one by one."""

    NAME = "take over"
    FOOTER: ClassVar[tuple[str, ...]] = ("take", "take-down", "quit", "help")

    def _last(self) -> HandedOver | None:
        return self.shift.desk.standing.page("room").last(HandedOver)

    def head(self, width: int) -> list[Line]:
        now = self.shift.now()
        return [
            line(
                Span(
                    fit(f" {self.shift.desk.settings.name}   take over   {now:%A %d %B %Y, %H:%M}", width), "title"
                )
            ),
            BLANK,
        ]

    def body(self, width: int, height: int) -> list[Line]:
        shown: list[Line] = []
        doubt = self.shift.desk.clock_doubt()
        if doubt:
            shown += [line(" ", Span(one, "vet")) for one in wrap(doubt, width - 2)] + [BLANK]
        missing = self.shift.desk.missing
        if missing is not None:
            shown += urgent_rows(self.shift.urgent_lines(), width)
            text = f"{missing.sentence} {self.label('take')} takes over, and shows them first."
            shown += [line(" ", Span(one, "vet")) for one in wrap(text, width - 2)] + [BLANK]
        troubles = self.shift.desk.sheets.troubles
        if troubles:
            text = f"{damaged(troubles)} What stands below may lack entries; rounds check tells which."
            shown += [line(" ", Span(one, "vet")) for one in wrap(text, width - 2)]
            shown.append(BLANK)
        for notice in self.shift.desk.notices:
            shown += [line(" ", Span(one, "today")) for one in wrap(notice, width - 2)] + [BLANK]
        last = self._last()
        if last is not None and last.note:
            # The last keeper's note stands first: below the matters it would be missed.
            # It may be read on a later day: what "yesterday" means in it depends on its date.
            text = f"for you, from {last.by}, {stamp_words(last.at, self.shift.now())}: {last.note}"
            rows = [row for part in text.splitlines() for row in wrap(part, width - 2)]
            shown += [line(" ", Span(row, "today")) for row in rows] + [BLANK]
        shown += self._matter_lines(width)
        shown.append(BLANK)
        if self._is_new():
            shown += [line(" ", Span(one, "quiet")) for one in wrap(SALMONELLA, width - 2)]
        shown += [line(" ", Span(CAUTION, "quiet")), BLANK]
        if last is None:
            shown.append(line(" ", Span("No hand-over was written yet.", "quiet")))
        else:
            now = self.shift.now()
            shown.append(line(" last hand-over: ", Span(f"{stamp_words(last.at, now)} by {last.by}", "name")))
            shown += [line(Span(one, "quiet")) for one in sheet_lines(last.sheet, width)]
        return self.window(shown, height)

    def _is_new(self) -> bool:
        """Whether the initials typed or offered are of a keeper who has not taken over here before."""
        initials = as_initials(self.ask.typed) if isinstance(self.ask, Words) else self.app.offered
        before = {entry.by for entry in self.shift.desk.standing.page("room").of(TakenOver)}
        return not any(one.startswith(initials) for one in before)

    def _matter_lines(self, width: int) -> list[Line]:
        if not self.shift.complete:
            # A large room takes a second or two: the screen is shown before, and painted again after.
            return [line(" open matters: ", Span("being reckoned", "quiet"))]
        counts = self.shift.counts()
        counted = ", ".join(f"{counts[level]} {level.word}" for level in reversed(Level) if counts[level]) or "none"
        shown = [line(" open matters: ", Span(counted, "name"))]
        for matter in self.shift.matters:
            if matter.level >= Level.TODAY:
                vet = vet_words(self.shift.desk.house) if matter.level >= Level.VET else ""
                shown += _matter(matter, vet, width)
        return shown

    def action_take(self) -> None:
        """Read each vet matter, give initials, begin."""
        self.converse(self._taking())

    def _taking(self) -> Talk:
        desk = self.shift.desk
        keepers, offered = tuple(desk.settings.keepers), self.app.offered
        before = {entry.by for entry in desk.standing.page("room").of(TakenOver)}
        while True:
            typed = yield Words(
                "Your initials",
                offered=offered,
                ready=keepers,
                most=12,
                check=_wrong_initials,
                called="the initials",
            )
            initials = as_initials(typed)
            if not keepers or initials in keepers or initials in before:
                break
            listed = f"{initials} is not among the keepers in colony.toml: {', '.join(keepers)}."
            if (yield Confirm([listed], yes=f"take over as {initials}", no="type it again", by_enter=False)):
                break
            offered = ""
        desk.keeper, is_new = initials, initials not in before
        desk.take_notices()  # they stood on this screen
        read: list[Matter] = []
        try:
            yield from bring_back(self.shift)
            last = self._last()
            unread = [one for one in self.shift.matters if _to_be_read(one, desk.keeper, last)]
            for number, matter in enumerate(unread, 1):
                yield Read(
                    f"{number} of {many(len(unread), 'vet matter')}",
                    partial(whole_matter, matter, desk.standing, desk.house, self.shift.now()),
                    yes="I have read it and take it on",
                    no="break off",
                    rest=RULE,
                )
                read.append(matter)
            saved = yield Save(
                *(draft(Acknowledged, matter.about, matter=matter.key, level=matter.level.word) for matter in read),
                draft(
                    TakenOver,
                    "room",
                    hand_over=last.id if last else "",
                    matters=tuple(one.key for one in read),
                    desk=desk.name,
                ),
            )
        except GeneratorExit:
            desk.keeper = ""
            raise
        if not saved:
            desk.keeper = ""
            return
        self.then(partial(self._begin, is_new=is_new))

    def _begin(self, *, is_new: bool) -> None:
        self.shift.begin_walk()
        self.app.shift_taken_over(SALMONELLA if is_new else "")


def _to_be_read(matter: Matter, keeper: str, last: HandedOver | None) -> bool:
    """A vet matter is read by whoever takes over, though the keeper before has read it too."""
    if matter.level < Level.VET:
        return False
    answer = matter.acknowledged
    return answer is None or answer.by != keeper or (last is not None and answer.at <= last.at)


def _matter(matter: Matter, vet: str, width: int) -> list[Line]:
    parts = wrap(" ".join(text for text in (matter.says, vet) if text), width - 12)
    style = STYLE_OF_LEVEL[matter.level]
    shown = [line("   ", Span(f"{level_word(matter.level):<7}", style), " ", Span(parts[0]))]
    return shown + [line("           ", Span(part)) for part in parts[1:]]


def _wrong_initials(text: str) -> str:
    if re.fullmatch(r"[^\W\d_][\w .-]{0,11}", text):
        return ""
    return "Initials are 1 to 12 letters, such as AK."
