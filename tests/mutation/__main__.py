"""`python -m tests.mutation due`: puts small mistakes into a room, one at a time; lists those no test noticed."""

from __future__ import annotations

import argparse
import sys

from tests.mutation.session import Red, Tally, Target, run
from tests.rooms import ROOMS

_ASKED = ("due", "standing", "sheets", "cache", "desk")


def main() -> int:
    """Run over the rooms; 1 if the tests fail without a mistake, 2 if the tool is missing."""
    parser = argparse.ArgumentParser(prog="python -m tests.mutation", description=__doc__)
    parser.add_argument("rooms", nargs="*", default=_ASKED, metavar="room", help="rooms, or files under rounds/")
    parser.add_argument("--each", type=int, default=60, help="mutants a room, drawn by the seed (60)")
    parser.add_argument("--all", action="store_true", help="every mutant: hours")
    parser.add_argument("--seed", type=int, default=1, help="another seed draws others (1)")
    parser.add_argument("--again", action="store_true", help="try the survivors once more, after new tests")
    given = parser.parse_args()
    for room in given.rooms:
        if room not in ROOMS and not (room.startswith("rounds/") and Target(room).files):
            parser.error(f"no room {room}; there are: {', '.join(ROOMS)}")
    try:
        import cosmic_ray  # noqa: F401
    except ImportError:
        print("The tool is not installed: pip install -e '.[dev,mutation]'", file=sys.stderr)
        return 2
    tallies: dict[str, Tally] = {}
    try:
        for room in given.rooms:
            tallies[room] = run(Target(room), None if given.all else given.each, given.seed, again=given.again)
    except Red as red:
        print(f"{room}: the tests fail without a mistake put in.\n{red}", file=sys.stderr)
        return 1
    _report(tallies)
    return 0


def _report(tallies: dict[str, Tally]) -> None:
    for room, tally in tallies.items():
        print(f"\n{room}: survivors" if tally.survivors else f"\n{room}: no survivor")
        for survivor in tally.survivors:
            print(f"{survivor.path}:{survivor.row} in {survivor.within}\n{survivor.changed}")
    print()
    for room, tally in tallies.items():
        share = 100 * tally.caught / tally.tried if tally.tried else 0
        print(f"{room}: {tally.caught} of {tally.tried} caught, {share:.0f} % ({tally.total} drawn)")


if __name__ == "__main__":
    sys.exit(main())
