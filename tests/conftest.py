"""Figures that tests measure or count, printed at the end of the run whatever the options."""

from __future__ import annotations

import os
import tempfile
from collections.abc import Callable

import pytest
from hypothesis import settings

# A loaded machine is no failure, and the same code has the same examples on each machine and each day: what is new
# is looked for with `--hypothesis-profile=wide`.
settings.register_profile("house", deadline=None, derandomize=True)
settings.register_profile("wide", deadline=None, derandomize=False, print_blob=True)
settings.load_profile("house")


def examples(many: int) -> int:
    """So many examples of a test that takes long; ten times as many where new ones are looked for."""
    return many * 10 if settings.get_current_profile_name() == "wide" else many


# What tests keep is their own, and no run finds what another left.
_CACHE = tempfile.TemporaryDirectory(prefix="rounds-tests-cache-")
os.environ["XDG_CACHE_HOME"] = _CACHE.name

RecordFigure = Callable[[str, object], None]
_FIGURES = pytest.StashKey[dict[str, str]]()


@pytest.fixture
def record_figure(pytestconfig: pytest.Config) -> RecordFigure:
    """Have a figure printed under `figures`: what it is of, and its value with the unit."""
    figures = pytestconfig.stash.setdefault(_FIGURES, {})

    def record(what: str, value: object) -> None:
        figures[what] = str(value)

    return record


def pytest_terminal_summary(terminalreporter: pytest.TerminalReporter, config: pytest.Config) -> None:
    """Print the figures."""
    figures = config.stash.get(_FIGURES, {})
    if figures:
        terminalreporter.section("figures")
        for what, value in sorted(figures.items()):
            terminalreporter.write_line(f"{what}: {value}")


def pytest_unconfigure() -> None:
    """Take what was kept away again."""
    _CACHE.cleanup()
