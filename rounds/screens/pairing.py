"""Pairing: every female with every male, walked through by the arrows; a pair opened; a pair put together."""

from __future__ import annotations

from typing import ClassVar

from rounds.due.pairing_table import PairingTable
from rounds.logbook.entries import PutTogether
from rounds.paper.pairing import pair_page
from rounds.paper.values import Values
from rounds.screens.board.board import BLANK, Line, Span, fit, line
from rounds.screens.from_standing import FromStanding
from rounds.screens.prompts.asks import Talk
from rounds.screens.prompts.choices import Confirm
from rounds.screens.record.filling import fill
from rounds.screens.record.forms import FORM_OF
from rounds.screens.screen import RoundScreen
from rounds.screens.views.pairing import columns_in, pair_lines, rows_in, table_lines


class PairingScreen(RoundScreen):
    """The table, or the page of one pair."""

    NAME = "pairing"
    FOOTER: ClassVar[tuple[str, ...]] = (
        "pair-open",
        "pair-down",
        "pair-right",
        "pair-together",
        "pair-her-page",
        "pair-his-page",
        "pair-back",
        "help",
    )

    def __init__(self) -> None:
        super().__init__()
        #: The pair the cursor is on, and whether its page is open.
        self.dam = self.sire = ""
        self.opened = False
        #: The first female and the first male that are shown.
        self._first = (0, 0)
        self._made = FromStanding[PairingTable]()
        self._page: tuple[PairingTable, str, str, Values] | None = None

    def table(self) -> PairingTable:
        """The table, made again when something was written or the day is another."""
        desk, now = self.shift.desk, self.shift.now()
        return self._made.of(desk.standing, now.date(), by=lambda: PairingTable(desk.standing, desk.house, now))

    def _at(self, table: PairingTable) -> tuple[int, int] | None:
        """The row and the column of the cursor; None in an empty table."""
        if not table.dams or not table.sires:
            return None
        if self.dam not in table.dams:
            self._is_gone(self.dam)
            self.dam, self.opened = table.dams[0], False
        if self.sire not in table.sires:
            self._is_gone(self.sire)
            self.sire, self.opened = table.sires[0], False
        return table.dams.index(self.dam), table.sires.index(self.sire)

    def _is_gone(self, who: str) -> None:
        if who:
            self.say_gone(f"{self.shift.desk.standing.name(who)} is not in the table any more.")

    def whom(self) -> str:
        return self.dam or super().whom()

    # What is shown

    def head(self, width: int) -> list[Line]:
        table = self.table()
        at = self._at(table)
        name = self.shift.desk.settings.name
        where = ""
        if at is not None:
            where = f"female {at[0] + 1} of {len(table.dams)}, male {at[1] + 1} of {len(table.sires)} "
        if self.opened:
            names = table.standing.name
            left = f" {name}   {names(self.dam)} × {names(self.sire)}"
        else:
            left = f" {name}   pairing"
        return [line(Span(fit(left, max(1, width - len(where) - 2)), "title"), Span(f"  {where}", "quiet")), BLANK]

    def body(self, width: int, height: int) -> list[Line]:
        table = self.table()
        at = self._at(table)
        if at is None:
            missing = "female" if not table.dams else "male"
            return [line(f" No grown {missing} is here. Who is young is not in the table.")]
        if self.opened:
            return self.window(pair_lines(self._pair_page(table), width), height)
        rows, columns = rows_in(height), columns_in(width)
        self._first = (_in_sight(self._first[0], at[0], rows), _in_sight(self._first[1], at[1], columns))
        return table_lines(table, at, self._first, width, height, self._keys_to)

    def _pair_page(self, table: PairingTable) -> Values:
        if self._page is None or self._page[:3] != (table, self.dam, self.sire):
            found = pair_page(table, self.shift.desk.settings, self.dam, self.sire)
            self._page = (table, self.dam, self.sire, found)
        return self._page[3]

    def _keys_to(self, down: int, right: int) -> tuple[str, ...]:
        return (*self.steps("pair-up", "pair-down", down), *self.steps("pair-left", "pair-right", right))

    # Keys

    def action_row(self, step: int) -> None:
        """Another female, or another line of the page opened."""
        table = self.table()
        at = self._at(table)
        if self.opened:
            self.top = max(0, self.top + step)
        elif at is not None:
            self.dam = table.dams[max(0, min(len(table.dams) - 1, at[0] + step))]
        self.paint()

    def action_column(self, step: int) -> None:
        """Another male; with a page open, the page of her with him."""
        table = self.table()
        at = self._at(table)
        if at is not None:
            self.sire = table.sires[max(0, min(len(table.sires) - 1, at[1] + step))]
            self.top = 0
        self.paint()

    def action_open(self) -> None:
        """The page of the pair."""
        if self._at(self.table()) is not None:
            self.opened, self.top = True, 0
            self.paint()

    def action_back(self) -> None:
        """Back to the table, or to where you came from."""
        if self.opened:
            self.opened = False
            self.paint()
        else:
            self.app.pop_screen()

    def action_her_page(self) -> None:
        """The page of the female."""
        if self._at(self.table()) is not None:
            self.app.open_subject(self.dam)

    def action_his_page(self) -> None:
        """The page of the male."""
        if self._at(self.table()) is not None:
            self.app.open_subject(self.sire)

    def action_together(self) -> None:
        """Put the two together."""
        if self._at(self.table()) is not None:
            self.converse(self._together(self.dam, self.sire))

    def _together(self, dam: str, sire: str) -> Talk:
        kin = self.table().pair(dam, sire).kin
        if kin.not_known:
            says = [f"Kin not known: {kin.not_known}.", "Put them together all the same?"]
            if (yield Confirm(says, yes="go on", no="do not", by_enter=False)) is not True:
                self.say("Not put together. Nothing is written.")
                return
        yield from fill(self, FORM_OF[PutTogether], dam, {"mate": sire})

    def footer(self) -> tuple[str, ...]:
        """With a page open Enter has nothing to open; in an empty table no key has."""
        if self._at(self.table()) is None:
            return ("pair-back", "help")
        return tuple(id for id in self.FOOTER if not self.opened or id != "pair-open")


def _in_sight(first: int, at: int, room: int) -> int:
    """The first row or column to show, so that this one is in sight."""
    return max(min(first, at), at - room + 1, 0)
