"""`python -m tests.backtest`: forecasts on simulated colonies, and how many came within their dates.

`--colonies 500` of each course in turn, `--write` puts the table into docs/forecasts.md. The courses are assumed.
"""

from __future__ import annotations

import argparse
from collections.abc import Iterator, Sequence
from concurrent.futures import ProcessPoolExecutor
from pathlib import Path
from time import monotonic

from rounds.rules.default import default_house
from tests.backtest.laying import COURSES, cases
from tests.backtest.tally import PROMISED, Case, row, table
from tests.notation import VIENNA

PAGE = Path(__file__).resolve().parents[2] / "docs" / "forecasts.md"
_BEGIN, _END = "<!-- measured: laying -->", "<!-- end -->"


def colony(number: int) -> list[Case]:
    """The cases of one colony; its course goes by its number."""
    return list(cases(COURSES[number % len(COURSES)], number, default_house(VIENNA)))


def measure(colonies: int, processes: int) -> list[Case]:
    """The cases of so many colonies, by course."""
    if processes < 2:
        found = [case for number in range(colonies) for case in colony(number)]
    else:
        with ProcessPoolExecutor(processes) as pool:
            found = [case for some in pool.map(colony, range(colonies), chunksize=8) for case in some]
    order = [course.name for course in COURSES]
    return sorted(found, key=lambda case: (order.index(case.course), case.sort))


def report(found: Sequence[Case], colonies: int) -> Iterator[str]:
    """What was measured, as Markdown."""
    fair = [case for case in found if not case.outside]
    every, possible = row(found), row(fair)
    yield (
        f"{colonies} colonies, {every.many} forecasts. Promised: {PROMISED} % within the dates. "
        f"Came within: {every.within:.0f} %; of those that came within the house's window: {possible.within:.0f} %."
    )
    yield ""
    yield from table(found)


def main(arguments: Sequence[str] | None = None) -> int:
    """Measure and print."""
    parser = argparse.ArgumentParser(prog="python -m tests.backtest", description=__doc__)
    parser.add_argument("--colonies", type=int, default=500, metavar="N", help="so many colonies (500)")
    parser.add_argument("--processes", type=int, default=2, metavar="P", help="processes (2)")
    parser.add_argument("--write", action="store_true", help="write the table into docs/forecasts.md")
    options = parser.parse_args(arguments)
    began = monotonic()
    lines = list(report(measure(options.colonies, options.processes), options.colonies))
    print("\n".join(lines))
    print(f"\n{monotonic() - began:.0f} s")
    if options.write:
        before, _, rest = PAGE.read_text(encoding="utf-8").partition(_BEGIN)
        _, _, after = rest.partition(_END)
        PAGE.write_text("\n".join([before + _BEGIN, *lines, _END + after]), encoding="utf-8")
    return 0


if __name__ == "__main__":
    raise SystemExit(main())
