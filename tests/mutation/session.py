"""One run over a room: a copy of the project to put mistakes into, and what became of each, kept to be resumed."""

from __future__ import annotations

import hashlib
import os
import resource
import shlex
import shutil
import subprocess
import sys
import time
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import TYPE_CHECKING, NamedTuple

from tests.mutation.covering import Covering
from tests.mutation.sample import Mutant, sample
from tests.rooms import ROOMS

if TYPE_CHECKING:
    from cosmic_ray.work_db import WorkDB

TOP = Path(__file__).resolve().parents[2]
KEPT = TOP / ".mutation"
#: A mutant that eats memory falls over instead of the machine.
_MEMORY = 4 << 30


class Survivor(NamedTuple):
    """A mistake that no test noticed."""

    path: str
    row: int
    within: str
    changed: str  # the lines of the diff


class Tally(NamedTuple):
    """What became of a room's mutants."""

    total: int
    tried: int
    caught: int
    survivors: list[Survivor]


class Target(NamedTuple):
    """A room (`due`) or a file of one (`rounds/sheets/writer.py`)."""

    name: str

    @property
    def files(self) -> list[str]:
        """The modules to put mistakes into, from the top of the project."""
        path = TOP / self.name if self.name.endswith(".py") else TOP / "rounds" / self.name
        found = [path] if path.is_file() else sorted(path.rglob("*.py"))
        return [str(file.relative_to(TOP)) for file in found]

    @property
    def tests(self) -> tuple[str, ...]:
        """The tests that should notice, quickest first."""
        return ROOMS[self.room].own + ROOMS[self.room].also

    @property
    def room(self) -> str:
        """The room it is, or lies in."""
        return self.name.split("/")[1] if self.name.endswith(".py") else self.name

    def kept(self, what: str) -> Path:
        """Where something is kept about the room: another place as soon as the code is another."""
        code = hashlib.sha256(b"".join((TOP / file).read_bytes() for file in self.files)).hexdigest()[:8]
        return KEPT / f"{self.name.replace('/', '-')}-{code}-{what}"


class Red(Exception):
    """The tests fail without any mistake put in."""


def run(target: Target, each: int | None, seed: int, *, again: bool) -> Tally:
    """Try what has not been tried, against the tests that run its line.

    With `again` the survivors are tried once more, against the tests as they are now. Raises Red if the tests fail
    on the code as it stands.
    """
    from cosmic_ray.mutating import mutate_and_test

    os.nice(15 - os.nice(0))
    resource.setrlimit(resource.RLIMIT_AS, (_MEMORY, _MEMORY))
    with _session(target, each, seed) as database:
        if again:
            _forget_survivors(database)
        pytest = [sys.executable, "-m", "pytest", "-x", "-q", "-p", "no:cacheprovider"]
        pending = sorted(
            database.pending_work_items, key=lambda item: (str(item.mutations[0].module_path), item.job_id)
        )
        if pending:
            took = _unharmed([*pytest, *target.tests])
            print(f"{target.name}: {len(pending)} mutants to try, the tests take {took:.0f} s", flush=True)
            covering = Covering(Target(target.room).kept("lines"), target.tests, again=again)
        for item in pending:
            spot = item.mutations[0]
            tests = covering.tests(str(spot.module_path), spot.start_pos[0])
            result = mutate_and_test(item.mutations, shlex.join([*pytest, *(tests or target.tests)]), 30 + 3 * took)
            database.set_result(item.job_id, result)
            fate = "caught  " if result.is_killed else "SURVIVED"
            print(f"{fate} {spot.module_path}:{spot.start_pos[0]} {spot.operator_name[5:]}", flush=True)
        return _tally(database)


def _unharmed(command: list[str]) -> float:
    """Seconds the tests take on the code as it stands."""
    began = time.monotonic()
    done = subprocess.run(command, check=False, capture_output=True, text=True)
    if done.returncode:
        raise Red(done.stdout[-3000:])
    return time.monotonic() - began


@contextmanager
def _session(target: Target, each: int | None, seed: int) -> Iterator[WorkDB]:
    """The room's session, drawn if it is new, in a fresh copy of the project as the current folder."""
    from cosmic_ray.work_db import use_db

    file = target.kept("all.sqlite" if each is None else f"{each}-of-seed-{seed}.sqlite")
    tree = KEPT / "trees" / target.name.replace("/", "-")
    _copy(tree)
    os.chdir(tree)
    # The copy stands before the installed project, for the tests and for every process they start.
    os.environ |= {"PYTHONPATH": str(tree), "CI": "1"}
    if not file.exists():
        draft = file.with_suffix(".draft")
        draft.unlink(missing_ok=True)
        with use_db(str(draft)) as database:
            _draw(database, target, each, seed)
        draft.replace(file)
    with use_db(str(file)) as database:
        yield database
    shutil.rmtree(tree)


def _draw(database: WorkDB, target: Target, each: int | None, seed: int) -> None:
    """Have the tool list every mistake it can make, and leave those that are drawn."""
    from cosmic_ray.commands import init

    init([Path(name) for name in target.files], database, {})
    items = {item.job_id: item for item in database.work_items}
    offered = [
        Mutant(
            str(spot.module_path),
            spot.start_pos[0],
            spot.start_pos[1],
            spot.operator_name,
            spot.occurrence,
            id,
        )
        for id, item in items.items()
        for spot in item.mutations
    ]
    sources = {name: Path(name).read_text(encoding="utf-8") for name in target.files}
    drawn = [items[mutant.id] for mutant in sample(offered, sources, each, seed)]
    database.clear()
    database.add_work_items(drawn)


def _copy(tree: Path) -> None:
    """The project as it stands in the working folder, without what git ignores."""
    shutil.rmtree(tree, ignore_errors=True)
    listed = subprocess.run(
        ["git", "ls-files", "-z", "--cached", "--others", "--exclude-standard"],
        cwd=TOP,
        check=True,
        capture_output=True,
        text=True,
    )
    for name in filter(None, listed.stdout.split("\0")):
        if (TOP / name).is_file():
            (tree / name).parent.mkdir(parents=True, exist_ok=True)
            shutil.copy2(TOP / name, tree / name)


def _forget_survivors(database: WorkDB) -> None:
    results = list(database.completed_work_items)
    items = list(database.work_items)
    database.clear()
    database.add_work_items(items)
    for item, result in results:
        if result.is_killed:
            database.set_result(item.job_id, result)


def _tally(database: WorkDB) -> Tally:
    done = database.completed_work_items
    survivors = [
        Survivor(
            str(item.mutations[0].module_path),
            item.mutations[0].start_pos[0],
            item.mutations[0].definition_name or "",
            "\n".join(line for line in result.diff.splitlines()[3:] if line[:1] in ("-", "+")),
        )
        for item, result in done
        if not result.is_killed
    ]
    return Tally(database.num_work_items, len(done), len(done) - len(survivors), sorted(survivors))
