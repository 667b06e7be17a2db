"""The pages of docs/ that the program makes: `python -m tests.docs [--check] [PAGE …]`.

Without a page all are made again but alarms.md, which is measured on simulated seasons: 12 minutes, on request.
`--check` writes nothing and shows what differs; it holds alarms.md to the assumptions it was measured under.
"""

from __future__ import annotations

import argparse
import difflib
import sys
from collections.abc import Callable, Sequence
from pathlib import Path
from typing import Final

from rounds.due.matters import help_text
from rounds.paper.entry_kinds import entries_page
from rounds.rules import table
from rounds.rules.default import default_house, default_rules
from rounds.screens.keys import docs_page as keys
from tests.notation import VIENNA
from tests.simulation import alarms_page
from tests.simulation.__main__ import main as simulation
from tests.simulation.run import Plan

FOLDER: Final = Path(__file__).parents[1] / "docs"
#: Each page by its name: as it stands → as the program has it now.
PAGES: Final[dict[str, Callable[[str], str]]] = {
    "entries": lambda _: entries_page(),
    "house-rules": lambda page: table.with_tables(page, default_rules()),
    "keys": keys.with_tables,
    "matters": lambda _: help_text.page(default_house(VIENNA)),
}
#: Measured, not made: what it can be held to, and how it is measured.
MEASURED: Final[dict[str, Callable[[str], str]]] = {
    "alarms": lambda page: alarms_page.with_part(page, "assumed", alarms_page.assumed(Plan())),
}


def path(name: str) -> Path:
    """Where a page lies."""
    return FOLDER / f"{name}.md"


def difference(name: str) -> str:
    """What differs between a page and what the program has now; empty when nothing does."""
    before = path(name).read_text(encoding="utf-8")
    after = {**PAGES, **MEASURED}[name](before)
    return "".join(difflib.unified_diff(before.splitlines(True), after.splitlines(True), f"docs/{name}.md", "now"))


def write(name: str) -> None:
    """Make a page again."""
    if name in MEASURED:
        simulation(["--vary", "--write"])
    else:
        path(name).write_text(PAGES[name](path(name).read_text(encoding="utf-8")), encoding="utf-8")


def main(arguments: Sequence[str] | None = None) -> int:
    """Make the pages, or say what differs; 1 when something does."""
    parser = argparse.ArgumentParser(
        prog="python -m tests.docs", description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter
    )
    parser.add_argument("--check", action="store_true", help="write nothing; show what differs")
    parser.add_argument("pages", nargs="*", metavar="PAGE", help=f"some of: {', '.join([*PAGES, *MEASURED])}")
    options = parser.parse_args(arguments)
    unknown = [name for name in options.pages if name not in PAGES and name not in MEASURED]
    if unknown:
        parser.error(f"no such page: {', '.join(unknown)}; there are {', '.join([*PAGES, *MEASURED])}")
    if options.check:
        told = [difference(name) for name in options.pages or [*PAGES, *MEASURED]]
        sys.stdout.writelines(told)
        return int(any(told))
    for name in options.pages or PAGES:
        write(name)
    return 0


if __name__ == "__main__":
    sys.exit(main())
