"""One call of a plain command: its options, its clock, and where its words and its data go."""

from __future__ import annotations

import argparse
from collections.abc import Iterator, Mapping, Sequence
from contextlib import contextmanager
from datetime import datetime
from pathlib import Path
from typing import TYPE_CHECKING, Any, BinaryIO, TextIO

from rounds import folders
from rounds.cli.output import writing_out
from rounds.errors import UsageError

if TYPE_CHECKING:
    from rounds.desk.desk import Clock, Desk
    from rounds.due.matter import Matter


class Call:
    """What a command is given. Data goes to `out`, words for the keeper to `err`."""

    def __init__(
        self,
        options: argparse.Namespace,
        *,
        clock: Clock | None,
        environment: Mapping[str, str],
        stdin: BinaryIO,
        out: TextIO,
        err: TextIO,
        words: Sequence[str] = (),
    ) -> None:
        self.options = options
        #: The command line as it was given.
        self.words = words
        self._clock = clock
        self.environment = environment
        self.stdin = stdin
        self.out = out
        self.err = err

    @property
    def clock(self) -> Clock:
        """What tells the time."""
        if self._clock is None:
            from rounds.desk.desk import system_clock

            return system_clock
        return self._clock

    @property
    def colony(self) -> Path:
        """The colony's folder: --colony, else ROUNDS_COLONY, else the usual place."""
        given = self.options.colony or self.environment.get("ROUNDS_COLONY")
        return folders.given(given) if given else folders.data(self.environment) / "colony"

    @property
    def keeper(self) -> str:
        """Who is writing: --by, else ROUNDS_KEEPER; empty when nobody was named."""
        return (getattr(self.options, "by", None) or self.environment.get("ROUNDS_KEEPER") or "").strip()

    @contextmanager
    def desk(self, *, writing: bool = False) -> Iterator[Desk]:
        """The colony, opened and read at the reckoning moment. Raises `NoColony`, `BadRule`, `UsageError`."""
        until: datetime | None = None
        if self.options.on:
            if writing:
                raise UsageError(
                    "--on is for looking back: what is written is written now. Give --at for when it was seen"
                )
            from rounds.cli.moments import reckoning_moment
            from rounds.desk.colony_file import load

            settings = load(self.colony)
            until = reckoning_moment(self.options.on, settings.zone, self.clock(), settings.date_order)
        # Late: help, and a command put wrongly, open no colony.
        from rounds.desk.desk import Desk
        from rounds.desk.progress import Telling

        telling = Telling(self.err)
        try:
            desk = Desk.open(
                self.colony, clock=self.clock, keeper=self.keeper, writing=writing, until=until, progress=telling
            )
        finally:
            telling.end()
        try:
            for told in (desk.clock_doubt(), desk.take_notices()):
                if told:
                    self.say(told)
            yield desk
        finally:
            desk.close()
            if told := desk.take_notices():
                self.say(told)

    def caution_of(self, desk: Desk, about: str = "", known: Sequence[Matter] | None = None) -> None:
        """Say above a page that it may lack entries: on standard output, where the page goes.

        What stands on no sheet is said with its vet matters first; on a page `about` a subject, those of it.
        `known`: all matters of the colony, where the page has worked them out.
        """
        from rounds.paper.words import damaged

        if desk.missing is not None:
            from rounds.desk.offer import known_matters, offered
            from rounds.paper.missing import urgent_lines
            from rounds.paper.page import Page

            entries = [one for one in offered(desk) if not about or about in one.subjects()]
            matters = known_matters(desk, (about,) if about else None) if known is None else known
            page = Page()
            for told in urgent_lines(desk.standing, desk.now(), entries, matters):
                page.text(told)
            page.text(f"{desk.missing.sentence} `rounds check --bring-back` writes them again.")
            self.print(f"{page}\n")
        troubles = desk.sheets.troubles
        if troubles:
            from rounds.paper.page import Page

            page = Page()
            page.text(f"{damaged(troubles)} What stands below may lack entries; `rounds check` tells.")
            self.print(f"{page}\n")

    def missing_values(self, desk: Desk, about: str = "", known: Sequence[Matter] | None = None) -> dict[str, Any]:
        """What stands on no sheet any more, for --json: null when nothing does; `about` a subject, that of it.

        `known`: all matters of the colony, where they are worked out.
        """
        if desk.missing is None:
            return {"missing": None}
        from rounds.desk.offer import known_matters, offered
        from rounds.paper.missing import missing_values
        from rounds.sheets.watch import shown

        entries = [one for one in offered(desk) if not about or about in one.subjects()]
        matters = known_matters(desk, (about,) if about else None) if known is None else known
        sheets = [{"path": shown(path), "lines": lines} for path, lines in desk.missing.sheets.items()]
        told = missing_values(desk.standing, desk.house, entries, matters)
        return {"missing": {"sheets": sheets, **told}}

    def warn_of(self, desk: Desk) -> None:
        """Say on standard error what is wrong with the sheets themselves."""
        from rounds.paper.words import many

        troubles, ahead = desk.troubles, desk.ahead
        for trouble in troubles[:3]:
            self.say(trouble.sentence)
        if len(troubles) > 3:
            self.say(f"and {len(troubles) - 3} more about the sheets: `rounds check` tells all.")
        if ahead:
            self.say(f"{many(len(ahead), 'entry', 'entries')} dated ahead of the clock, which do not count yet.")

    def print(self, text: str) -> None:
        """Data, on standard output; nothing in it acts on a terminal. Raises `NoOutput`."""
        with writing_out():
            self.out.write(_plain(text if text.endswith("\n") else text + "\n"))

    def report(self, fault: BaseException) -> str:
        """Write a report of a fault of the program, and give the sentence that says where it lies."""
        from rounds.cli.report import unexpected

        return unexpected(fault, self.words, self.environment)

    def json(self, document: Mapping[str, Any]) -> None:
        """Data for machines, on standard output: plain ASCII, so that nothing in a name acts on a terminal."""
        import json

        # DEL stands as it is in JSON; a terminal would obey it.
        self.print(json.dumps({"format": 1, **document}, indent=1).replace("\x7f", "\\u007f"))

    def say(self, words: str) -> None:
        """Words for the keeper, on standard error; nothing in them acts on a terminal."""
        with writing_out():
            self.out.flush()
        self.err.write(_plain(words) + "\n")


def _plain(text: str) -> str:
    """The text with whatever a terminal would act on written out; a net below what the papers do themselves."""
    if text.isascii() and text.replace("\n", "").isprintable():
        return text
    from rounds.paper.plain_text import shown

    return shown(text, lines=True)
