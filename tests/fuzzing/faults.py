"""Inputs at which a reader falls over: known apart by where, made as short as they go, and kept."""

from __future__ import annotations

import traceback
from collections.abc import Callable
from pathlib import Path
from typing import Final, NamedTuple

from tests.fuzzing.targets import Taker

#: An input is made shorter in so many tries at most.
_TRIES: Final = 4_000
_TOP: Final = Path(__file__).parents[2]


class Fault(NamedTuple):
    """What an input did."""

    #: Which error, and the last line of ours that ran: faults that agree in it are taken for one.
    where: str
    says: str


def fault_of(take: Taker, content: bytes) -> Fault | None:
    """What goes wrong with an input; None when nothing does."""
    try:
        take(content)
    except Exception as error:
        ours = [frame for frame in traceback.extract_tb(error.__traceback__) if _is_ours(frame.filename)]
        last = ours[-1]
        where = f"{type(error).__name__} at {Path(last.filename).relative_to(_TOP)}:{last.lineno} in {last.name}"
        return Fault(where, (str(error).splitlines() or [last.line or ""])[0][:200])
    return None


def _is_ours(file: str) -> bool:
    return Path(file).is_relative_to(_TOP) and ".venv" not in Path(file).parts and Path(file) != Path(__file__)


def shortened(content: bytes, is_fault: Callable[[bytes], bool]) -> bytes:
    """The shortest input found that is the same fault: pieces taken out, then bytes made 0."""
    tries = 0
    size = max(1, len(content) // 2)
    while size:
        place, before = 0, content
        while place < len(content) and tries < _TRIES:
            tries += 1
            shorter = content[:place] + content[place + size :]
            if is_fault(shorter):
                content = shorter
            else:
                place += size
        if content == before or size > 1:
            size //= 2
    for place in range(len(content)):
        plainer = content[:place] + b"\0" + content[place + 1 :]
        if plainer != content and tries < _TRIES:
            tries += 1
            content = plainer if is_fault(plainer) else content
    return content
