"""Which tests run a line at all: only those can notice a mistake in it, so only those are tried first."""

from __future__ import annotations

import subprocess
import sys
from collections.abc import Sequence
from pathlib import Path


class Covering:
    """For each line the tests that run it, as measured once in the process of the tests themselves."""

    def __init__(self, data: Path, tests: Sequence[str], *, again: bool = False) -> None:
        """Measure in the current folder, if that was not done yet or the tests are others; some times as slow."""
        from coverage import CoverageData

        if again or not data.exists():
            settings = data.with_suffix(".cfg")
            told = (
                "source = rounds",
                "relative_files = true",
                "dynamic_context = test_function",
                f"data_file = {data}",
            )
            settings.write_text("\n".join(("[run]", *told, "")))
            command = [sys.executable, "-m", "coverage", "run", f"--rcfile={settings}"]
            subprocess.run(
                [*command, "-m", "pytest", "-q", "-p", "no:cacheprovider", *tests], check=True, capture_output=True
            )
            settings.unlink()
        self._data = CoverageData(str(data))
        self._data.read()
        self._lines: dict[str, dict[int, list[str]]] = {}
        self._order = tuple(tests)

    def tests(self, path: str, row: int) -> list[str]:
        """The tests, as pytest names them, the room's own first; empty for a line that only runs at import."""
        if path not in self._lines:
            self._lines[path] = self._data.contexts_by_lineno(path)
        named = filter(None, map(_named, self._lines[path].get(row, ())))
        return sorted(named, key=lambda test: (self._place(test), test))

    def _place(self, test: str) -> int:
        return next(place for place, start in enumerate((*self._order, "")) if test.startswith(start))


def _named(context: str) -> str:
    module, _, test = context.rpartition(".")
    return f"{module.replace('.', '/')}.py::{test}" if module.startswith("tests.") else ""
