"""One target in a process of its own, as `python -m tests.fuzzing` starts it: NAME FOLDER [libFuzzer's options]."""

from __future__ import annotations

import json
import os
import sys
from pathlib import Path
from typing import Final

from tests.fuzzing import corpus
from tests.fuzzing.faults import Fault, fault_of, shortened
from tests.fuzzing.targets import TARGETS, Taker, taker

#: So many different faults of one target are looked at; with more it is the target that is wrong.
_MOST_FAULTS: Final = 20
#: In the folder of a run: what went wrong, as JSON.
FAULTS: Final = "faults.json"


class Run:
    """Takes inputs, and goes on after a fault; each is made short, kept, and left in the folder of the run."""

    def __init__(self, name: str, take: Taker, folder: Path) -> None:
        self._name = name
        self._take = take
        self._folder = folder
        self._faults: dict[str, tuple[str, str, str]] = {}

    def one(self, content: bytes) -> None:
        """One input."""
        found = fault_of(self._take, content)
        if found is None or found.where in self._faults or len(self._faults) >= _MOST_FAULTS:
            return
        fault = found

        def is_same(other: bytes) -> bool:
            again = fault_of(self._take, other)
            return again is not None and again.where == fault.where

        short = shortened(content, is_same)
        found = fault_of(self._take, short) or Fault(fault.where, f"{fault.says} (not each time)")
        self._faults[fault.where] = (*found, repr(short))
        corpus.add(self._name, short)
        # At once: libFuzzer ends the process without giving Python the time to.
        (self._folder / FAULTS).write_text(json.dumps([*self._faults.values()]), encoding="utf-8")


def own_folder(folder: Path) -> Path:
    """A folder for the target, and everything that rounds keeps of a user beside it."""
    for variable in ("XDG_STATE_HOME", "XDG_CACHE_HOME", "XDG_DATA_HOME", "XDG_CONFIG_HOME"):
        os.environ[variable] = str(folder / variable)
    own = folder / f"target-{os.getpid()}"
    own.mkdir()
    return own


def main() -> None:
    """Fuzz until libFuzzer has had enough; it ends the process."""
    import atheris

    name, folder, *options = sys.argv[1:]
    atheris.enabled_hooks.add("str")  # so that it learns what a comparison waits for
    with atheris.instrument_imports(include=["rounds", *TARGETS[name].also]):
        run = Run(name, taker(name, own_folder(Path(folder))), Path(folder))
    # By this name it starts itself again where it works in parts (-merge).
    program = f"{sys.executable} -m tests.fuzzing.run {name} {folder}"
    atheris.Setup([program, *options], run.one)
    atheris.Fuzz()


if __name__ == "__main__":
    main()
