"""The sheet for the vet, as it is printed; one key writes it as text and as a page to print."""

from __future__ import annotations

from typing import ClassVar

from rounds import folders, system
from rounds.errors import RoundsError
from rounds.paper.plain_text import shown
from rounds.paper.values import Values
from rounds.screens.board.board import BLANK, Line, Span, fit, line, sheet_lines
from rounds.screens.from_standing import FromStanding
from rounds.screens.screen import RoundScreen


class ReferralScreen(RoundScreen):
    """The sheet about one animal."""

    NAME = "referral"
    FOOTER: ClassVar[tuple[str, ...]] = (
        "referral-write",
        "referral-down",
        "referral-page-down",
        "referral-back",
        "help",
    )

    def __init__(self, subject: str) -> None:
        super().__init__()
        self.subject = subject
        self._found = FromStanding[Values]()
        self._lines: tuple[int, list[Line]] = (0, [])

    def whom(self) -> str:
        return self.subject

    def _values(self) -> Values:
        """The sheet, worked out again when anything was written."""
        minute = self.shift.now().replace(second=0, microsecond=0)
        return self._found.of(self.shift.desk.standing, minute, by=self._sheet)

    def _sheet(self) -> Values:
        from rounds.paper.referral import referral

        desk, now = self.shift.desk, self.shift.now()
        self._lines = (0, [])
        matters = self.shift.matters_about([self.subject])
        history = desk.history(self.subject)
        return referral(desk.standing, desk.settings, now, self.subject, history, matters, desk.keeper)

    def head(self, width: int) -> list[Line]:
        name = self.shift.desk.standing.name(self.subject)
        return [line(Span(fit(f" {name}   sheet for the vet", width), "title")), BLANK]

    def body(self, width: int, height: int) -> list[Line]:
        from rounds.paper.referral_text import referral_text

        found = self._values()
        if self._lines[0] != width:
            text = referral_text(found, self.shift.now())
            self._lines = width, [line(one) for one in sheet_lines(text, width)]
        return self.window(self._lines[1], height)

    def action_write(self) -> None:
        """Write the sheet as text and as a page to print."""
        from rounds.paper.referral_html import referral_html
        from rounds.paper.referral_text import referral_text

        found, now = self._values(), self.shift.now()
        stem = f"for-the-vet-{self.subject.partition('/')[2]}-{now:%Y-%m-%d-%H%M}"
        sheets = ((".txt", referral_text(found, now)), (".html", referral_html(found, now)))
        try:
            written = [
                system.write_new_file(folders.home(), stem, suffix, text.encode(errors="replace"))
                for suffix, text in sheets
            ]
        except (OSError, RoundsError) as error:
            told = error.strerror if isinstance(error, OSError) and error.strerror else error
            self.say(f"The sheet was not written to your home folder: {told}", "today")
        else:
            names = " and ".join(path.name for path in written)
            self.say(f"Written to {shown(str(written[0].parent))}: {names}", "good")
