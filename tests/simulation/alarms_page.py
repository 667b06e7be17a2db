"""docs/alarms.md: its tables are made by `python -m tests.simulation --vary --write`."""

from __future__ import annotations

from collections.abc import Sequence
from pathlib import Path
from typing import Final

from tests.simulation.report import assumptions
from tests.simulation.run import Plan

PAGE: Final = Path(__file__).parents[2] / "docs" / "alarms.md"
_MARKS: Final = {
    part: (f"<!-- {part}: made by python -m tests.simulation --vary --write -->", f"<!-- end of {part} -->")
    for part in ("measured", "varied", "assumed")
}


def between(page: str, part: str) -> str:
    """What stands in a made part of the page. Raises `ValueError` when its marks are missing."""
    begin, end = _MARKS[part]
    if begin not in page or end not in page:
        raise ValueError(f"docs/alarms.md lacks the marks of “{part}”")
    return page.partition(begin)[2].partition(end)[0].strip("\n")


def with_part(page: str, part: str, lines: Sequence[str]) -> str:
    """The page with another text in a made part. Raises `ValueError` when its marks are missing."""
    between(page, part)
    begin, end = _MARKS[part]
    before, _, rest = page.partition(begin)
    text = "\n".join(lines).strip("\n")
    return f"{before}{begin}\n\n{text}\n\n{end}{rest.partition(end)[2]}"


def assumed(plan: Plan) -> list[str]:
    """The tables of the assumptions."""
    return list(assumptions(plan.biology, plan.habits))


def write(plan: Plan, tables: Sequence[str], changed: Sequence[str]) -> None:
    """Write the page; without a table of changed assumptions the one that stands there stays."""
    page = PAGE.read_text(encoding="utf-8")
    head = f"{plan.many} that go wrong and {plan.many} healthy ones, {plan.rooms} rooms; seed {plan.seed}."
    page = with_part(page, "measured", [head, "", *tables])
    if changed:
        page = with_part(page, "varied", changed)
    PAGE.write_text(with_part(page, "assumed", assumed(plan)), encoding="utf-8")
