"""`python -m tests.fuzzing`: gives every reader inputs that reach further into it; tells where one falls over."""

from __future__ import annotations

import argparse
import ast
import json
import os
import re
import shlex
import subprocess
import sys
import tempfile
import time
from importlib.util import find_spec
from pathlib import Path
from typing import Final, NamedTuple

from tests.fuzzing import corpus
from tests.fuzzing.faults import fault_of
from tests.fuzzing.run import FAULTS, own_folder
from tests.fuzzing.targets import TARGETS, taker

_TOP: Final = Path(__file__).parents[2]
_STATUS: Final = re.compile(r"^#(\d+)\s.*\bcov: (\d+) ft: (\d+)", re.MULTILINE)
#: An input that takes longer, in s, or more memory, in MiB, is a fault.
_LONGEST: Final = 60
_MEMORY: Final = 2_048


class Tally(NamedTuple):
    """What became of one target."""

    inputs: int
    #: Ways from one place of the code to another that were gone, and those with how often: more is further.
    edges: int
    features: int
    seconds: float
    #: Where, what, and the input as Python writes it.
    faults: list[tuple[str, str, str]]


def main() -> int:
    """Fuzz the targets; 1 when a fault was found, 2 when the fuzzer is missing."""
    parser = argparse.ArgumentParser(prog="python -m tests.fuzzing", description=__doc__)
    parser.add_argument("targets", nargs="*", default=[*TARGETS], metavar="target", help=", ".join(TARGETS))
    parser.add_argument("--inputs", type=int, default=1_000_000, help="of all targets together (1,000,000)")
    parser.add_argument("--seed", type=int, default=1, help="the same seed gives the same inputs (1)")
    parser.add_argument(
        "--keep", action="store_true", help="keep what reached further, for the tests and the next run"
    )
    parser.add_argument("--input", metavar="BYTES", help="one input, as a fault was printed, without the fuzzer")
    given = parser.parse_args()
    for name in given.targets:
        if name not in TARGETS:
            parser.error(f"no target {name}; there are: {', '.join(TARGETS)}")
    if given.input is not None:
        return _one(given.targets[0], ast.literal_eval(given.input))
    if find_spec("atheris") is None:
        print("The fuzzer is not installed: pip install -e '.[dev,fuzzing]'", file=sys.stderr)
        return 2
    os.nice(5)
    shares = sum(TARGETS[name].share for name in given.targets)
    tallies: dict[str, Tally] = {}
    print(f"{'target':<14} {'inputs':>10} {'edges':>6} {'features':>8} {'faults':>6} {'s':>5}", flush=True)
    for name in given.targets:
        inputs = -(-given.inputs * TARGETS[name].share // shares)
        tallies[name] = fuzzed(name, inputs, given.seed, keep=given.keep)
        print(_row(name, tallies[name]), flush=True)
    print(_row("together", *tallies.values()))
    for name, one in tallies.items():
        for where, says, content in one.faults:
            print(f"\n{name}: {where}: {says}")
            if content:
                print("The input is kept: tests/fuzzing/test_corpus.py fails until this is mended. Again:")
                print(f"python -m tests.fuzzing {name} --input {shlex.quote(content)}")
    return int(any(one.faults for one in tallies.values()))


def _row(name: str, *tallies: Tally) -> str:
    inputs, edges = sum(one.inputs for one in tallies), sum(one.edges for one in tallies)
    features, faults = sum(one.features for one in tallies), sum(len(one.faults) for one in tallies)
    seconds = sum(one.seconds for one in tallies)
    return f"{name:<14} {inputs:>10,} {edges:>6,} {features:>8,} {faults:>6} {seconds:>5.0f}"


def fuzzed(name: str, inputs: int, seed: int, *, keep: bool = False) -> Tally:
    """One target, given so many inputs in a process of its own."""
    with tempfile.TemporaryDirectory(prefix="rounds-fuzzing-") as made:
        folder = Path(made)
        seeds, found, least = (folder / part for part in ("seeds", "found", "least"))
        for part in (seeds, found, least):
            part.mkdir()
        for number, content in enumerate(corpus.kept(name)):
            (seeds / str(number)).write_bytes(content)
        limits = [f"-timeout={_LONGEST}", f"-rss_limit_mb={_MEMORY}", f"-max_len={TARGETS[name].longest}"]
        limits.append(f"-report_slow_units={_LONGEST}")
        limits.append(f"-artifact_prefix={folder}/stopped-")
        began = time.monotonic()
        said = _libfuzzer(name, folder, [f"-runs={inputs}", f"-seed={seed}", *limits, str(found), str(seeds)])
        took = time.monotonic() - began
        done, edges, features = map(int, (_STATUS.findall(said) or [("0", "0", "0")])[-1])
        faults: list[tuple[str, str, str]] = []
        if (folder / FAULTS).exists():
            faults += [tuple(one) for one in json.loads((folder / FAULTS).read_text(encoding="utf-8"))]
        for stopped in folder.glob("stopped-*"):
            content = stopped.read_bytes()
            corpus.add(name, content)
            faults.append((f"stopped after {done} inputs", stopped.name, repr(content)))
        if not faults and done < inputs:
            faults.append(("the process ended early", said[-2_000:], ""))
        if keep:
            _libfuzzer(name, folder, ["-merge=1", *limits, str(least), str(seeds), str(found)])
            failing = [ast.literal_eval(content) for _, _, content in faults if content]
            corpus.keep(name, [*(file.read_bytes() for file in least.iterdir()), *failing])
        return Tally(done, edges, features, took, faults)


def _libfuzzer(name: str, folder: Path, options: list[str]) -> str:
    command = [sys.executable, "-m", "tests.fuzzing.run", name, str(folder), *options]
    done = subprocess.run(command, cwd=_TOP, check=False, capture_output=True, text=True, errors="replace")
    return done.stdout + done.stderr


def _one(name: str, content: bytes) -> int:
    """One input, in this process; what goes wrong is shown where it does."""
    with tempfile.TemporaryDirectory(prefix="rounds-fuzzing-") as made:
        take = taker(name, own_folder(Path(made)))
        found = fault_of(take, content)
        if found is None:
            print(f"{name}: nothing goes wrong with it.")
            return 0
        print(f"{name}: {found.where}: {found.says}", flush=True)
        take(content)
        return 1


if __name__ == "__main__":
    sys.exit(main())
