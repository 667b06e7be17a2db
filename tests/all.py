"""Every check, the same here and in CI: format, lint, types, the one way of the flow, the tests.

Run it as `python tests/all.py`; what follows is passed on to pytest.
"""

from __future__ import annotations

import subprocess
import sys
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
    ("tests", [sys.executable, "-m", "pytest", *sys.argv[1:]]),
)


def main() -> int:
    """Run each check to its end; the number of those that failed is the exit code."""
    failed: list[str] = []
    for name, command in CHECKS:
        print(f"-- {name}", flush=True)
        if subprocess.run(command, cwd=TOP, check=False).returncode:
            failed.append(name)
    print(f"-- failed: {', '.join(failed)}" if failed else "-- all checks passed", flush=True)
    return len(failed)


if __name__ == "__main__":
    sys.exit(main())
