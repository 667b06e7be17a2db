"""The inputs that are kept: one file for each target, one input a line as Python writes bytes, shortest first."""

from __future__ import annotations

import ast
from collections.abc import Iterable
from pathlib import Path
from typing import Final

KEPT: Final = Path(__file__).parent / "corpus"
#: What is kept of one target, in bytes of its file; the shortest inputs go in first.
MOST_BYTES: Final = 16_000


def kept(name: str, folder: Path = KEPT) -> list[bytes]:
    """The inputs of a target."""
    file = folder / f"{name}.txt"
    if not file.exists():
        return []
    return [ast.literal_eval(line) for line in file.read_text(encoding="ascii").splitlines()]


def keep(name: str, inputs: Iterable[bytes], folder: Path = KEPT, most: int | None = MOST_BYTES) -> int:
    """Keep these inputs alone, as many as find room; how many that are."""
    lines: list[str] = []
    size = 0
    for content in sorted(set(inputs), key=lambda one: (len(one), one)):
        line = f"{content!r}\n"
        size += len(line)
        if most is not None and size > most:
            break
        lines.append(line)
    (folder / f"{name}.txt").write_text("".join(lines), encoding="ascii")
    return len(lines)


def add(name: str, content: bytes, folder: Path = KEPT) -> None:
    """Keep one more."""
    keep(name, [*kept(name, folder), content], folder, most=None)
