"""`python -m tests.simulation`: the alarm budget, measured; the tables of docs/alarms.md.

1,000 females that go wrong and 1,000 healthy ones, a season each, and a healthy room of 50 four times over.
`--vary` measures a fifth of them again with each assumption changed; `--write` puts the tables into
docs/alarms.md; `--show 'no eggs' 17` prints one female's season walk by walk, with what needed attention.
"""

from __future__ import annotations

import argparse
import sys
from collections.abc import Sequence
from dataclasses import replace
from time import monotonic

from tests.simulation import alarms_page
from tests.simulation.courses import HEALTHY, SICK
from tests.simulation.report import report, varied
from tests.simulation.run import VARIED, Plan, measure
from tests.simulation.show import page, room_page


def main(arguments: Sequence[str] | None = None) -> int:
    """Measure and print."""
    parser = argparse.ArgumentParser(
        prog="python -m tests.simulation",
        description=__doc__,
        formatter_class=argparse.RawDescriptionHelpFormatter,
    )
    parser.add_argument("--many", type=int, default=1000, metavar="N", help="so many of each (1000)")
    parser.add_argument("--rooms", type=int, default=4, metavar="N", help="seasons of a room of 50 (4)")
    parser.add_argument("--seed", type=int, default=1, metavar="S", help="another seed, other seasons (1)")
    parser.add_argument("--processes", type=int, default=2, metavar="P", help="processes (2)")
    parser.add_argument("--vary", action="store_true", help="the table of changed assumptions too")
    parser.add_argument("--write", action="store_true", help="write the tables into docs/alarms.md")
    parser.add_argument(
        "--show",
        nargs=2,
        metavar=("COURSE", "NUMBER"),
        help="one season walk by walk; a course is one of: " + ", ".join([*SICK, *HEALTHY, "room"]),
    )
    parser.add_argument("--every", action="store_true", help="with --show: walks on which nothing changed too")
    options = parser.parse_args(arguments)
    plan = Plan(options.many, options.rooms, options.seed)
    if options.show:
        name, number = options.show
        if name not in (*SICK, *HEALTHY, "room") or not number.isdigit():
            parser.error(f"a course is one of: {', '.join([*SICK, *HEALTHY, 'room'])}; and a number")
        of_room = name == "room"
        for line in room_page(plan, int(number)) if of_room else page(plan, name, int(number), options.every):
            print(line)
        return 0
    began = monotonic()
    measured = measure(plan, options.processes)
    print(f"{options.many} + {options.many} females, {options.rooms} rooms: {monotonic() - began:.0f} s\n")
    tables = list(report(measured))
    print("\n".join(tables), flush=True)
    changed: list[str] = []
    if options.vary:
        fewer = replace(plan, many=max(len(SICK), options.many // 5), rooms=0)
        runs = []
        for what, change in VARIED:
            runs.append((what, measure(change(fewer), options.processes)))
            print(f"… {what}", file=sys.stderr, flush=True)
        changed = [f"{fewer.many} + {fewer.many} females each.", ""]
        changed += varied(runs)
        print("\n".join(changed))
    if options.write:
        alarms_page.write(plan, tables, changed)
    return 0


if __name__ == "__main__":
    sys.exit(main())
