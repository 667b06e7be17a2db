"""Attention: all matters, worst first; open one to see why, and act on it from here."""

from __future__ import annotations

from datetime import timedelta
from typing import ClassVar

from rounds.due.matter import Level, Matter
from rounds.due.matters.answered import alarm_answered
from rounds.due.matters.look import title
from rounds.errors import BadEntry
from rounds.logbook.drafts import draft
from rounds.logbook.entries import (
    Acknowledged,
    PutOff,
)
from rounds.logbook.written_times import read_day
from rounds.paper.words import date_words, many
from rounds.screens.board.board import BLANK, Line, Span, fit, line, pressing, row_of, wrap
from rounds.screens.keys.screens import BY_ID
from rounds.screens.prompts.asks import Talk
from rounds.screens.prompts.choices import Choice, Option
from rounds.screens.prompts.fields import Clockwork, Field, said_back, value_of
from rounds.screens.prompts.saving import Save
from rounds.screens.prompts.words import Words
from rounds.screens.record.acting import acting
from rounds.screens.record.filling import clockwork
from rounds.screens.screen import RoundScreen
from rounds.screens.views.matter import RULE, matter_row, whole_matter

UNTIL = Field("until", "until", "date", lies="ahead")


class AttentionScreen(RoundScreen):
    """The list, or one matter opened."""

    NAME = "attention"
    SHARE = 0.48
    FOOTER: ClassVar[tuple[str, ...]] = (
        "open",
        "act",
        "acknowledge",
        "put-off",
        "matter-page",
        "matter-sheet",
        "go-there",
        "back",
        "help",
    )

    def __init__(self) -> None:
        super().__init__()
        self.chosen = ""
        self.opened = False
        #: The first matter of the list that is shown.
        self.first = 0
        #: Rows of a matter that is opened; and the matters of which nothing that has to be read was left below.
        self._height = 1
        self._seen: set[tuple[str, str]] = set()

    def _matters(self) -> tuple[Matter, ...]:
        every = self.shift.all_matters
        return (*(one for one in every if one.put_off is None), *(one for one in every if one.put_off is not None))

    def _matter(self) -> Matter | None:
        matters = self._matters()
        found = next((one for one in matters if one.key == self.chosen), None)
        if found is None and matters and not self.opened:
            found = matters[0]
            self.chosen = found.key
        return found

    def whom(self) -> str:
        matter = self._matter()
        return matter.about if matter is not None else super().whom()

    def head(self, width: int) -> list[Line]:
        counts = self.shift.counts()
        matters, chosen = self._matters(), self._matter()
        at = next((place for place, one in enumerate(matters, 1) if one is chosen), 0)
        where = f"{at} of {len(matters)} " if at else ""
        counted = (
            "   ".join(f"{counts[level]} {level.word}" for level in reversed(Level) if counts[level]) or "nothing"
        )
        name = self.shift.desk.settings.name
        left = fit(f" {name}   attention   {counted}", max(1, width - len(where) - 2))
        return [line(Span(left, "title"), Span(f"  {where}", "quiet")), BLANK]

    def footer(self) -> tuple[str, ...]:
        """Once a matter is open, Enter acts on it; a settled one, or none at all, can only be left."""
        if self._matter() is None:
            return ("back", "help")
        if not self.opened:
            return self.FOOTER
        read = ("matter-page-down", "matter-page", "matter-sheet", "go-there", "back", "help")
        return ("act", "acknowledge", "put-off", *read)

    def body(self, width: int, height: int) -> list[Line]:
        matter = self._matter()
        if self.opened and matter is None:
            return [
                *(line(" ", Span(one, "good")) for one in wrap(self._settled(), width - 2)),
                BLANK,
                line(" Backspace goes back to the list."),
            ]
        if matter is None:
            return [line(" ", Span("Nothing needs attention.", "good"))]
        if self.opened:
            desk = self.shift.desk
            told = whole_matter(matter, desk.standing, desk.house, self.shift.now(), width)
            shown = self.window(told, height)
            self._height = height
            if self.top + height >= row_of(told, RULE):
                self._seen.add((matter.key, matter.says))
            return shown
        return self._list(matter, width, height)

    def beside(self, width: int, height: int) -> list[Line] | None:
        """The matter the cursor is on, whole."""
        matter = self._matter()
        if self.opened or matter is None:
            return None
        desk = self.shift.desk
        told = whole_matter(matter, desk.standing, desk.house, self.shift.now(), width)
        if len(told) > height:
            told = [*told[: height - 1], line(" ", Span(f"… {self.label('open')} opens all of it", "quiet"))]
        return told

    def _settled(self) -> str:
        """What became of a matter that was opened and is gone: an alarm that was answered stays in sight."""
        about = self.chosen.rsplit(" ", 2)[1]
        answered = [one for one in self.shift.matters_about([about]) if one.rule == title(alarm_answered)]
        if not answered:
            return "This matter is settled."
        days = self.shift.desk.house.days("walk.answered_days")
        return f"{answered[0].says} It stays under watch for {many(days, 'day')}."

    def _list(self, chosen: Matter, width: int, height: int) -> list[Line]:
        """As many matters as fit, the chosen one whole among them. Only these are laid out."""
        matters = self._matters()
        at = next(place for place, one in enumerate(matters) if one.key == chosen.key)
        self.first = max(min(self.first, at), at - height)
        standing, now = self.shift.desk.standing, self.shift.now()
        while True:
            rows: list[Line] = []
            end = 0
            for place, one in enumerate(matters[self.first :], self.first):
                keys = self.steps("matter-up", "matter-down", place - at) or self.key_map.keys(BY_ID["open"])[:1]
                rows += [pressing(row, *keys) for row in matter_row(one, standing, now, width, place == at)]
                if place == at:
                    end = len(rows)
                if len(rows) >= height:
                    break
            if 0 < end <= height or self.first == at:
                whole = matter_row(chosen, standing, now, width, True)
                if end <= height and not any("…" in row[-1].text for row in whole):
                    self._seen.add((chosen.key, chosen.says))
                return rows[:height]
            self.first += 1

    # Keys

    def action_cursor(self, step: int) -> None:
        """Another matter, or another line of the one opened."""
        if self.opened:
            self.top = max(0, self.top + step)
        else:
            keys = [one.key for one in self._matters()]
            if keys:
                at = keys.index(self.chosen) if self.chosen in keys else 0
                self.chosen = keys[max(0, min(len(keys) - 1, at + step))]
        self.paint()

    def action_open(self) -> None:
        """Open the matter; once open, act on it."""
        if self.opened:
            self.action_act()
        elif self._matter() is not None:
            self.opened, self.top = True, 0
            self.paint()

    def action_back(self) -> None:
        """Back to the list, or to where you came from."""
        if self.opened:
            self.opened = False
            self.paint()
        else:
            self.app.pop_screen()

    def action_acknowledge(self) -> None:
        """Say that it was read."""
        matter = self._matter()
        if matter is None:
            return
        if matter.level >= Level.VET and (matter.key, matter.says) not in self._seen:
            # One for the vet is taken on once what it says was on the screen.
            self.top += self._height if self.opened else -self.top
            self.opened = True
            self.say(
                f"It goes on. {self.label('acknowledge')} takes it on once all of it was on the screen.", "today"
            )
            self.paint()
            return
        self.converse(self._acknowledging(matter))

    def _acknowledging(self, matter: Matter) -> Talk:
        saved = yield Save(draft(Acknowledged, matter.about, matter=matter.key, level=matter.level.word))
        if saved:
            self.say("Read, and taken on. It stays open until it is settled.", "good")

    def action_put_off(self) -> None:
        """Put it off."""
        matter = self._matter()
        if matter is None:
            return
        if matter.danger or matter.level is Level.VET_NOW:
            self.say("A danger sign cannot be put off.", "vet")
            return
        self.converse(self._putting_off(matter))

    def _putting_off(self, matter: Matter) -> Talk:
        today = self.shift.day
        tomorrow = Option("t", "tomorrow", today + timedelta(days=1))
        if matter.level is Level.VET:
            until = yield Choice(
                "Put off until",
                [tomorrow],
                hint="Not later: it is for the vet. Phone, and write what was said.",
                start=0,
            )
        else:
            until = yield Choice(
                "Put off until",
                [
                    tomorrow,
                    Option("3", "in three days", today + timedelta(days=3)),
                    Option("w", "in a week", today + timedelta(days=7)),
                    Option("d", "another day …", None),
                ],
            )
        if until is None:
            clock = clockwork(self)
            text = yield Words(
                "Until which day (3 dec · mon · +2w)",
                check=lambda word: _not_ahead(word, clock),
                says=lambda word: said_back(UNTIL, word, clock),
            )
            until = value_of(UNTIL, text, clock)
        reason = yield Words(
            "Why?",
            ready=("agreed with the vet", "normal for this animal", "is being watched", "waits for supplies"),
        )
        saved = yield Save(draft(PutOff, matter.about, matter=matter.key, until=until, reason=reason))
        if saved:
            self.say(
                f"Put off until {date_words(until, self.shift.now())}; it stands at the end of the list.", "good"
            )

    def action_act(self) -> None:
        """Act on it from here."""
        matter = self._matter()
        if matter is not None:
            self.converse(acting(self, matter))

    def action_page(self) -> None:
        """The subject's page."""
        matter = self._matter()
        if matter is not None:
            self.app.open_subject(matter.about)

    def action_sheet(self) -> None:
        """The sheet for the vet about the animal."""
        matter = self._matter()
        if matter is None:
            return
        if matter.about.startswith("animal/"):
            self.app.open_screen("referral", matter.about)
        else:
            self.say("A sheet for the vet is of one animal.", "quiet")

    def action_go_there(self) -> None:
        """Walk to the stop."""
        matter = self._matter()
        if matter is not None:
            self.app.walk_to(matter.about if matter.about != "room" else matter.place or "room")


def _not_ahead(text: str, clock: Clockwork) -> str:
    try:
        day = read_day(text, clock.now.date(), clock.order, "ahead", "until").day
    except BadEntry as error:
        return str(error)
    return "" if day > clock.now.date() else "until: give a day that is still to come."
