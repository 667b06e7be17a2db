"""Every check, the same here and in CI: format, lint, types, the one way of the flow, the tests.

Run it as `python tests/all.py`; what follows is passed on to pytest. Where nothing follows, the tests run in two
halves side by side: a single process leaves the second core idle.
"""

from __future__ import annotations

import subprocess
import sys
import tempfile
from pathlib import Path

TOP = Path(__file__).resolve().parents[1]
BIN = Path(sys.executable).parent
#: What keepers run; tests are for the machines of those who change it.
OURS = ("rounds", "demo_colony")
CHECKS = (
    ("format", [str(BIN / "ruff"), "format", "--check", "."]),
    ("lint", [str(BIN / "ruff"), "check", "."]),
    ("types", [str(BIN / "mypy")]),
    # A memory of its own for each system: mypy keeps one, and would begin again with each change.
    *(
        (f"types on {name}", [str(BIN / "mypy"), f"--platform={name}", f"--cache-dir=.mypy_cache/{name}", *OURS])
        for name in ("darwin", "win32")
    ),
    ("one way", [str(BIN / "lint-imports")]),
)
PYTEST = [sys.executable, "-m", "pytest"]
#: The half of the tests that takes as long as all the others: what is pressed, what is asked, what is foreign.
HALF = ("tests/screens", "tests/cli", "tests/hostile")
#: Real desks that are killed at random: alone, for beside other tests they die before their name is known.
ALONE = ("tests/sheets", "tests/desks")


def main() -> int:
    """Run each check to its end; the number of those that failed is the exit code."""
    failed: list[str] = []
    for name, command in CHECKS:
        print(f"-- {name}", flush=True)
        if subprocess.run(command, cwd=TOP, check=False).returncode:
            failed.append(name)
    print("-- tests", flush=True)
    if not (run_tests(sys.argv[1:]) if sys.argv[1:] else run_halves()):
        failed.append("tests")
    print(f"-- failed: {', '.join(failed)}" if failed else "-- all checks passed", flush=True)
    return len(failed)


def run_tests(asked: list[str]) -> bool:
    """Run the tests that are asked for; whether all passed."""
    return subprocess.run([*PYTEST, *asked], cwd=TOP, check=False).returncode == 0


def run_halves() -> bool:
    """Run all tests in two processes; what the second says comes after the first. Whether all passed."""
    others = [f"--ignore={folder}" for folder in (*HALF, *ALONE)]
    with tempfile.TemporaryFile() as said:
        command = [*PYTEST, "-p", "no:cacheprovider", *HALF]
        with subprocess.Popen(command, cwd=TOP, stdout=said, stderr=subprocess.STDOUT) as second:
            passed = run_tests(others)
        said.seek(0)
        sys.stdout.buffer.write(said.read())
        sys.stdout.flush()
    alone = run_tests(list(ALONE))
    return passed and alone and second.returncode == 0


if __name__ == "__main__":
    sys.exit(main())
