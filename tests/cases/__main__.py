"""`python -m tests.cases [CASE ...] [--rounds PROGRAM]`: try each case and print one line for it.

A case holds, or is BROKEN, or cannot be tried here; the exit code is 1 when one is broken. With `--rounds` another
program is tried, that of an older commit, say, in an environment of its own.
"""

from __future__ import annotations

import argparse
import sys
import time
from pathlib import Path

from tests.cases.all import CASES
from tests.cases.trying import try_all
from tests.cases.verdict import Case


def main() -> int:
    """Try what the command line names; all without a name."""
    parser = argparse.ArgumentParser(prog="python -m tests.cases", description=__doc__.partition("\n")[0])
    parser.add_argument("names", nargs="*", metavar="CASE", help="such as 1a, or 5 for all that begin with it")
    parser.add_argument("--rounds", type=Path, default=Path(sys.executable).parent / "rounds", metavar="PROGRAM")
    parser.add_argument("--quick", action="store_true", help="only those that take a second or two")
    parser.add_argument("--list", action="store_true", help="say what each case tries, and end")
    parser.add_argument("--jobs", type=int, default=4, metavar="N", help="so many at a time (4)")
    parser.add_argument("--keep", type=Path, metavar="FOLDER", help="keep what each case made in there")
    given = parser.parse_args()
    asked = [one for one in CASES.values() if named(one, given.names) and (one.quick or not given.quick)]
    if not asked:
        parser.error("no case has that name; --list names them")
    if given.list:
        for one in asked:
            print(f"{one.name:5} {one.about}")
        return 0
    if not given.rounds.is_file():
        parser.error(f"there is no program {given.rounds}")
    broken = 0
    begun = time.monotonic()
    for tried in try_all([one.name for one in asked], given.rounds.absolute(), given.keep, max(1, given.jobs)):
        broken += tried.verdict.holds is False
        print(tried.line, flush=True)
    print(f"{broken} of {len(asked)} cases broken, {time.monotonic() - begun:.0f} s")
    return 1 if broken else 0


def named(one: Case, names: list[str]) -> bool:
    """Whether a case is asked for."""
    return not names or any(one.name == name or (name.isdigit() and one.name.startswith(name)) for name in names)


if __name__ == "__main__":
    sys.exit(main())
