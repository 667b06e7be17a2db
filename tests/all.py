"""Every check, the same here and in CI: format, lint, types, the one way of the flow, the tests.

Run it as `python tests/all.py`; what follows is passed on to pytest. The checks and the parts of the tests run
beside each other, as many at once as there are cores: what takes long begins first, and tells at its end.
"""

from __future__ import annotations

import os
import subprocess
import sys
from collections.abc import Iterable
from concurrent.futures import ThreadPoolExecutor, as_completed
from pathlib import Path
from typing import TypeAlias

TOP = Path(__file__).resolve().parents[1]
BIN = Path(sys.executable).parent
#: A check: its name, and the command that fails when it does.
Check: TypeAlias = tuple[str, list[str]]
#: What keepers run; tests are for the machines of those who change it.
OURS = ("rounds", "demo_colony")
QUICK: tuple[Check, ...] = (
    ("format", [str(BIN / "ruff"), "format", "--check", "."]),
    ("lint", [str(BIN / "ruff"), "check", "."]),
    ("one way", [str(BIN / "lint-imports")]),
)
TYPES: tuple[Check, ...] = (
    ("types", [str(BIN / "mypy")]),
    # A memory of its own for each system: mypy keeps one, and would begin again with each change.
    *(
        (f"types on {name}", [str(BIN / "mypy"), f"--platform={name}", f"--cache-dir=.mypy_cache/{name}", *OURS])
        for name in ("darwin", "win32")
    ),
)
PYTEST = [sys.executable, "-m", "pytest", "-p", "no:cacheprovider"]
#: The folders of tests that take longest, those that belong to one part together; all others are a part too.
PARTS = (
    ("tests/screens",),
    ("tests/hostile", "tests/cli"),
    # These wait for the disk, and for desks that are killed.
    ("tests/desks", "tests/sheets", "tests/cache", "tests/crashes"),
)
#: So many run beside each other. Two are better than one on a single core too: some wait for the disk.
AT_ONCE = max(2, os.cpu_count() or 2)


def main() -> int:
    """Run each check to its end; the number of those that failed is the exit code."""
    asked = sys.argv[1:]
    failed = run_beside([*QUICK, *TYPES] if asked else [*QUICK, *parts(), *TYPES])
    if asked:
        print("-- tests", flush=True)
        if subprocess.run([*PYTEST, *asked], cwd=TOP, check=False).returncode:
            failed.append("tests")
    print(f"-- failed: {', '.join(failed)}" if failed else "-- all checks passed", flush=True)
    return len(failed)


def parts() -> list[Check]:
    """The tests in parts that take about as long: no folder is left out, none runs twice."""
    others = [f"--ignore={folder}" for part in PARTS for folder in part]
    return [("tests, all others", [*PYTEST, *others]), *((" ".join(part), [*PYTEST, *part]) for part in PARTS)]


def run_beside(checks: Iterable[Check]) -> list[str]:
    """Run checks beside each other, in this order; what each said is printed when it ends. Those that failed."""
    failed = []
    with ThreadPoolExecutor(AT_ONCE) as pool:
        running = {pool.submit(run, command): name for name, command in checks}
        for done in as_completed(running):
            passed, said = done.result()
            print(f"-- {running[done]}", flush=True)
            sys.stdout.buffer.write(said)
            sys.stdout.flush()
            if not passed:
                failed.append(running[done])
    return failed


def run(command: list[str]) -> tuple[bool, bytes]:
    """Run a command; whether it passed, and what it said."""
    done = subprocess.run(command, cwd=TOP, check=False, stdout=subprocess.PIPE, stderr=subprocess.STDOUT)
    return done.returncode == 0, done.stdout


if __name__ == "__main__":
    sys.exit(main())
