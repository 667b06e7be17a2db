"""Every case, by name: the modules list their own when they are imported."""

from __future__ import annotations

import re
from typing import Final

from tests.cases import (
    going_back,
    held_keys,
    identity,
    limits,
    plain,
    restored,
    spoilt,
    terminal,
    verdict,
    weighings,
)
from tests.cases.verdict import Case

MODULES: Final = (identity, going_back, spoilt, restored, limits, held_keys, weighings, terminal, plain)


def _turn(one: Case) -> tuple[int, str, int]:
    number, letter, more = re.fullmatch(r"(\d)([a-z])(\d*)", one.name).groups()  # type: ignore[union-attr]
    return int(number), letter, int(more or 1)


CASES: Final[dict[str, Case]] = {one.name: one for one in sorted(verdict.CASES.values(), key=_turn)}
