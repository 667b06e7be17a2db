"""`python -m tests.backtest`: forecasts on simulated colonies, and how many came within their dates.

`--colonies 500` of laying and as many of hatching, a course in turn; `--only hatching` measures one of the two;
`--write` puts the tables into docs/forecasts.md. The courses are assumed.
"""

from __future__ import annotations

import argparse
from collections.abc import Callable, Iterator, Sequence
from concurrent.futures import ProcessPoolExecutor
from pathlib import Path
from time import monotonic

from rounds.rules.default import default_house
from tests.backtest import hatching, laying
from tests.backtest.tally import PROMISED, Case, row, table
from tests.notation import VIENNA

PAGE = Path(__file__).resolve().parents[2] / "docs" / "forecasts.md"
_END = "<!-- end -->"


def of_laying(number: int) -> list[Case]:
    """The cases of one colony that pairs and lays; its course goes by its number."""
    course = laying.COURSES[number % len(laying.COURSES)]
    return list(laying.cases(course, number, default_house(VIENNA)))


def of_hatching(number: int) -> list[Case]:
    """The cases of one colony with a shelf; none while the program forecasts no hatching."""
    forecast, course = hatching.forecaster(), hatching.COURSES[number % len(hatching.COURSES)]
    return [] if forecast is None else list(hatching.cases(course, number, default_house(VIENNA), forecast))


def measure(one: Callable[[int], list[Case]], colonies: int, processes: int) -> list[Case]:
    """The cases of so many colonies, by course."""
    if processes < 2:
        found = [case for number in range(colonies) for case in one(number)]
    else:
        with ProcessPoolExecutor(processes) as pool:
            found = [case for some in pool.map(one, range(colonies), chunksize=8) for case in some]
    order = [course.name for course in (*laying.COURSES, *hatching.COURSES)]
    return sorted(found, key=lambda case: (order.index(case.course), case.sort))


def report(found: Sequence[Case], colonies: int) -> Iterator[str]:
    """What was measured, as Markdown."""
    fair = [case for case in found if not case.outside]
    every, possible = row(found), row(fair)
    inside = f"; of those that came within the house's window: {possible.within:.0f} %" if fair != found else ""
    yield (
        f"{colonies} colonies, {every.many} forecasts. Promised: {PROMISED} % within the dates. "
        f"Came within: {every.within:.0f} %{inside}."
    )
    yield ""
    yield from table(found)


def main(arguments: Sequence[str] | None = None) -> int:
    """Measure and print."""
    parser = argparse.ArgumentParser(prog="python -m tests.backtest", description=__doc__)
    parser.add_argument("--colonies", type=int, default=500, metavar="N", help="so many colonies (500)")
    parser.add_argument("--processes", type=int, default=2, metavar="P", help="processes (2)")
    parser.add_argument("--only", choices=("laying", "hatching"), help="only these forecasts")
    parser.add_argument("--write", action="store_true", help="write the tables into docs/forecasts.md")
    options = parser.parse_args(arguments)
    for what, one in (("laying", of_laying), ("hatching", of_hatching)):
        if options.only not in (None, what):
            continue
        began = monotonic()
        found = measure(one, options.colonies, options.processes)
        if not found:
            continue
        lines = list(report(found, options.colonies))
        print("\n".join(lines))
        print(f"\n{what}: {monotonic() - began:.0f} s\n", flush=True)
        if options.write:
            write(what, lines)
    return 0


def write(what: str, lines: Sequence[str]) -> None:
    """Put a table between its marks on the page."""
    mark = f"<!-- measured: {what} -->"
    before, found, rest = PAGE.read_text(encoding="utf-8").partition(mark)
    if not found:
        raise SystemExit(f"{PAGE.name} has no mark {mark}")
    PAGE.write_text("\n".join([before + mark, *lines, _END + rest.partition(_END)[2]]), encoding="utf-8")


if __name__ == "__main__":
    raise SystemExit(main())
