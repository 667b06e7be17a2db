"""`python -m tests.coverage`: which statements and branches of the rooms that hold the log no test goes through.

Each has a row with its reason in docs/coverage.md; what has none, and a row that is not needed, is told.
"""

from __future__ import annotations

import argparse
import json
import os
import re
import subprocess
import sys
import tempfile
from collections.abc import Sequence
from pathlib import Path
from typing import Any, Final, NamedTuple

from tests.rooms import ROOMS

TOP: Final = Path(__file__).resolve().parents[1]
PAGE: Final = TOP / "docs" / "coverage.md"
_ASKED: Final = ("logbook", "sheets", "cache", "desk")
#: Tests of other rooms that go through these: what they promise together.
_ALSO: Final = ("tests/hostile", "tests/audit", "tests/standing")
#: What only the type checker reads.
_NEVER_RUN: Final = ("if TYPE_CHECKING:", "assert_never")
_REASON: Final = re.compile(r"^\| `(rounds/\S+\.py)` `([^`]+)` \| [^|\s]", re.MULTILINE)


class File(NamedTuple):
    """How a file fares."""

    path: str
    statements: int
    branches: int
    missed_statements: int
    missed_branches: int
    #: Function → what of it no test goes through: lines, and ways from one line to another.
    missed: dict[str, str]


def main() -> int:
    """Measure; 1 when a test fails or the page does not give the reasons, 2 when the tool is missing."""
    parser = argparse.ArgumentParser(prog="python -m tests.coverage", description=__doc__)
    parser.add_argument("rooms", nargs="*", default=[*_ASKED], metavar="room", help=f"of {', '.join(ROOMS)}")
    given = parser.parse_args()
    for room in given.rooms:
        if room not in ROOMS:
            parser.error(f"no room {room}; there are: {', '.join(ROOMS)}")
    try:
        import coverage  # noqa: F401
    except ImportError:
        print("The tool is not installed: pip install -e '.[dev,coverage]'", file=sys.stderr)
        return 2
    os.nice(5)
    files, failed = measured(given.rooms)
    print(f"\n{'file':<36} {'statements':>10} {'missed':>6} {'branches':>8} {'missed':>6}")
    for file in files:
        print(_row(file.path, file))
    for room in given.rooms:
        print(_row(f"rounds/{room}", *(file for file in files if file.path.startswith(f"rounds/{room}/"))))
    print(_row("together", *files))
    known = reasons(PAGE.read_text(encoding="utf-8"))
    lacking, spare = compared(files, known)
    for told in (*lacking, *spare):
        print(told)
    if not (lacking or spare):
        print("Each that is missed has its reason in docs/coverage.md.")
    return int(failed or bool(lacking or spare))


def measured(rooms: Sequence[str]) -> tuple[list[File], bool]:
    """Run the tests that know these rooms; how each file fares, and whether a test failed."""
    paths = dict.fromkeys(path for room in rooms for path in (*ROOMS[room].own, *ROOMS[room].also))
    tests = [*paths, *(path for path in _ALSO if path not in paths)]
    with tempfile.TemporaryDirectory(prefix="rounds-coverage-") as folder:
        settings, report = Path(folder, "settings"), Path(folder, "report.json")
        told = (
            "[run]",
            "branch = true",
            "relative_files = true",
            f"source = {','.join(f'rounds/{room}' for room in rooms)}",
            f"data_file = {folder}/data",
            "[report]",
            "exclude_also =",
            *(f"    {one}" for one in _NEVER_RUN),
        )
        settings.write_text("\n".join((*told, "")), encoding="utf-8")
        tool = [sys.executable, "-m", "coverage"]
        run = subprocess.run(
            [*tool, "run", f"--rcfile={settings}", "-m", "pytest", "-q", "-p", "no:cacheprovider", *_outer(tests)],
            cwd=TOP,
            check=False,
        )
        subprocess.run([*tool, "json", f"--rcfile={settings}", "-q", "-o", str(report)], cwd=TOP, check=True)
        found = json.loads(report.read_text(encoding="utf-8"))["files"]
    return [_file(path, found[path]) for path in sorted(found)], run.returncode != 0


def _outer(tests: Sequence[str]) -> list[str]:
    """The tests without those that lie in a folder that is named too: pytest would run them twice."""
    return [one for one in tests if not any(one.startswith(f"{other}/") for other in tests)]


def _file(path: str, found: dict[str, Any]) -> File:
    summary = found["summary"]
    missed: dict[str, str] = {}
    for name, part in found["functions"].items():
        lines = [str(line) for line in part["missing_lines"]]
        ways = [f"{start}→{stop if stop > 0 else 'end'}" for start, stop in part["missing_branches"]]
        if lines or ways:
            missed[name or "(module)"] = ", ".join([*lines, *ways])
    return File(
        path,
        summary["num_statements"],
        summary["num_branches"],
        summary["missing_lines"],
        summary["missing_branches"],
        missed,
    )


def _row(name: str, *files: File) -> str:
    figures = [sum(column) for column in zip(*(file[1:5] for file in files), strict=True)] or [0] * 4
    statements, branches, missed_statements, missed_branches = figures
    return f"{name:<36} {statements:>10,} {missed_statements:>6} {branches:>8,} {missed_branches:>6}"


def reasons(page: str) -> set[tuple[str, str]]:
    """The functions for which the page gives a reason, each with its file."""
    return {(path, name) for path, name in _REASON.findall(page)}


def compared(files: Sequence[File], known: set[tuple[str, str]]) -> tuple[list[str], list[str]]:
    """What is missed and has no reason, and rows of what is not missed, of these files."""
    missed = {(file.path, name): where for file in files for name, where in file.missed.items()}
    lacking = [
        f"{path} {name}: {where}: no reason is given"
        for (path, name), where in missed.items()
        if (path, name) not in known
    ]
    measured_files = {file.path for file in files}
    spare = [
        f"{path} {name}: has a reason and is not missed"
        for path, name in sorted(known)
        if path in measured_files and (path, name) not in missed
    ]
    return lacking, spare


if __name__ == "__main__":
    sys.exit(main())
