"""Young: groups counted together and young with names, by clutch; what is due, and what may be sold."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any, ClassVar

from rounds.logbook.entries import Died, Left, SexSettled
from rounds.paper.values import Values
from rounds.paper.young import Lines, by_clutch, clutch_values, young_values
from rounds.screens.board.board import BLANK, Line, Span, fit, line, pressing
from rounds.screens.from_standing import FromStanding
from rounds.screens.keys.screens import BY_ID
from rounds.screens.prompts.asks import Talk
from rounds.screens.record import quick, young
from rounds.screens.record.along import write_record
from rounds.screens.record.filling import fill
from rounds.screens.record.forms import FORM_OF
from rounds.screens.record.menu import more
from rounds.screens.record.taking_back import take_back_last
from rounds.screens.screen import RoundScreen
from rounds.screens.views.young import clutch_heading, young_rows
from rounds.standing.as_of import as_of


class YoungScreen(RoundScreen):
    """All young, by clutch. `at` is the one selected."""

    NAME = "young"
    SHOWS_WHOM = True
    SHARE = 0.6
    FOOTER: ClassVar[tuple[str, ...]] = (
        "young-page",
        "young-count",
        "young-weight",
        "young-split",
        "young-merge",
        "young-name",
        "young-reserve",
        "young-sell",
        "young-there",
        "young-back",
        "help",
    )

    def __init__(self) -> None:
        super().__init__()
        self.chosen = ""
        self._at = 0
        self._found = FromStanding[list[tuple[tuple[str, ...], list[str]]]]()
        self._clutches: list[tuple[tuple[str, ...], list[str]]] = []
        self._told: dict[object, Values] = {}

    def _read(self) -> None:
        """Who there is, looked up again when something was written or a minute has gone by."""
        minute = self.shift.now().replace(second=0, microsecond=0)
        self._clutches = self._found.of(self.shift.desk.standing, minute, by=self._looked_up)
        subjects = self._subjects()
        if self.chosen not in subjects:
            if self.chosen:
                self.say_gone(f"{self.shift.desk.standing.name(self.chosen)} is here no more.")
            self.chosen = subjects[min(self._at, len(subjects) - 1)] if subjects else ""
        self._at = subjects.index(self.chosen) if subjects else 0

    def _looked_up(self) -> list[tuple[tuple[str, ...], list[str]]]:
        desk, now = self.shift.desk, self.shift.now()
        self._told = {}
        self._standing = as_of(desk.standing, now)
        self._lines = Lines(self._standing, desk.house, now)
        return by_clutch(self._standing, desk.house, now)

    def _subjects(self) -> list[str]:
        return [subject for _, subjects in self._clutches for subject in subjects]

    def whom(self) -> str:
        return self.chosen or super().whom()

    def head(self, width: int) -> list[Line]:
        self._read()
        subjects = self._subjects()
        where = f"{subjects.index(self.chosen) + 1} of {len(subjects)} " if self.chosen in subjects else ""
        left = fit(f" {self.shift.desk.settings.name}   young", max(1, width - len(where) - 2))
        return [line(Span(left, "title"), Span(f"  {where}", "quiet")), BLANK]

    def body(self, width: int, height: int) -> list[Line]:
        self._read()
        subjects = self._subjects()
        if not subjects:
            return [
                line(" ", Span("No young are here.", "good")),
                line(" Hatched? Write it about the clutch: its young go into a group."),
            ]
        places = {subject: place for place, subject in enumerate(subjects)}
        at = places.get(self.chosen, 0)
        selected = self._rows(subjects[at], width, mark=True)
        # What each row shows: a clutch (and no subject), one line of a subject, or nothing.
        rows: list[tuple[tuple[str, ...], str, int]] = []
        for clutches, here in self._clutches:
            rows.append((clutches, "", 0))
            for subject in here:
                many = len(selected) if subject == subjects[at] else 2
                rows += [(clutches, subject, part) for part in range(many)]
            rows.append((clutches, "", 1))
        first = next((number for number, row in enumerate(rows) if row[1] == subjects[at]), 0)
        self.top = max(min(self.top, first - 1), first + min(len(selected), height) - height, 0)
        # Only what is on the screen is worked out.
        shown: list[Line] = []
        for clutches, subject, part in rows[self.top : self.top + height]:
            if subject:
                step = places[subject] - at
                keys = self.steps("young-up", "young-down", step) or self.key_map.keys(BY_ID["young-page"])[:1]
                told = selected if step == 0 else self._rows(subject, width, mark=False)
                shown.append(pressing(told[part], *keys))
            else:
                shown.append(BLANK if part else clutch_heading(self._clutch(clutches), width))
        return shown

    def _rows(self, subject: str, width: int, *, mark: bool) -> list[Line]:
        """The lines of one: two, or as many as it takes where it is selected."""
        now = self.shift.now()
        if subject not in self._told:
            house = self.shift.desk.house
            self._told[subject] = young_values(self._standing, house, now, subject, self._lines)
        return young_rows(self._told[subject], now, width, mark)

    def _clutch(self, clutches: tuple[str, ...]) -> Values:
        if clutches not in self._told:
            house, now = self.shift.desk.house, self.shift.now()
            self._told[clutches] = clutch_values(self._standing, house, now, clutches, (), self._lines)
        return self._told[clutches]

    def footer(self) -> tuple[str, ...]:
        """Where nothing stands here, only keys that do something."""
        self._read()
        return self.FOOTER if self._subjects() else ("young-back", "help")

    # Keys

    def action_cursor(self, step: int) -> None:
        """Another one."""
        self._read()
        subjects = self._subjects()
        if subjects:
            at = subjects.index(self.chosen) if self.chosen in subjects else 0
            self.chosen = subjects[max(0, min(len(subjects) - 1, at + step))]
            self.paint()

    def _of_group(self, talk: Callable[[Any, str], Talk]) -> None:
        if self.chosen.startswith("group/"):
            self.converse(talk(self, self.chosen))
        else:
            self.say("That is for young counted together: select a group with ↑ ↓.", "today")

    def action_count(self) -> None:
        """Count a group."""
        self._of_group(young.count)

    def action_split(self) -> None:
        """Split a group."""
        self._of_group(young.split)

    def action_merge(self) -> None:
        """Merge a group."""
        self._of_group(young.merge)

    def action_single_out(self) -> None:
        """Name one of a group."""
        self._of_group(young.single_out)

    def action_digit(self, digit: str) -> None:
        """Begin a weight."""
        if self.chosen:
            self.converse(quick.weight(self, self.chosen, digit))

    def action_reserve(self) -> None:
        """Hold back, reserve, or set free."""
        if self.chosen:
            self.converse(young.keep_or_reserve(self, self.chosen))

    def action_sell(self) -> None:
        """It leaves."""
        if self.chosen:
            self.converse(fill(self, FORM_OF[Left], self.chosen))

    def action_died(self) -> None:
        """It died."""
        if self.chosen:
            self.converse(fill(self, FORM_OF[Died], self.chosen))

    def action_sex(self) -> None:
        """Its sex."""
        if self.chosen.startswith("animal/"):
            self.converse(fill(self, FORM_OF[SexSettled], self.chosen))
        else:
            self.say("Sex is of one animal: give one of the group a name first.", "today")

    def action_more(self) -> None:
        """Any other entry."""
        if self.chosen:
            self.converse(more(self, self.chosen, self.shift.desk.standing.places.get(self.chosen)))

    def action_take_back(self) -> None:
        """Take back what was saved last."""
        take_back_last(self)

    def action_record(self) -> None:
        """Write the record that goes along."""
        if self.chosen:
            self.say(*write_record(self, self.chosen))

    def action_page(self) -> None:
        """Its page."""
        if self.chosen:
            self.app.open_subject(self.chosen)

    def action_go_there(self) -> None:
        """Walk to its stop."""
        if self.chosen:
            self.app.walk_to(self.chosen)
