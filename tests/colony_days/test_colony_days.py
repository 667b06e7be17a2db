"""Half a day at four desks with every accident: nothing acknowledged is lost, and all end with one standing."""

from __future__ import annotations

import tempfile
from collections.abc import Iterator
from pathlib import Path

import pytest

from tests.colony_days.accidents import ACCIDENTS
from tests.colony_days.days import Days, Wrong
from tests.colony_days.desks import FourDesks
from tests.conftest import RecordFigure

MEMORY = Path("/dev/shm")


@pytest.fixture
def folder() -> Iterator[Path]:
    """Where the machines lie, in memory where that can be had."""
    with tempfile.TemporaryDirectory(dir=MEMORY if MEMORY.is_dir() else None) as made:
        yield Path(made).resolve()


@pytest.mark.parametrize("seed", [1, 2])
def test_after_half_a_day_of_accidents_every_acknowledged_entry_counts_once_at_all_four_desks(
    folder: Path, seed: int, record_figure: RecordFigure
) -> None:
    told = Days(folder, seed).pass_by(0.5)
    happened = {name: told.counts[name] for name in ACCIDENTS if told.counts[name]}
    assert len(happened) >= 6, "most accidents happen in half a day"
    assert told.acknowledged > 300
    record_figure(
        f"half a day of four desks and accidents, seed {seed}",
        f"{told.acknowledged} entries acknowledged, {sum(happened.values())} accidents, nothing lost, nothing "
        f"twice; digest {told.digest}",
    )


def test_the_same_seed_gives_the_same_day_again(folder: Path) -> None:
    first, again = (Days(folder / name, 3).pass_by(0.3) for name in ("one", "other"))
    assert first == again


def test_an_entry_that_is_gone_from_every_machine_is_missed(folder: Path) -> None:
    days = Days(folder, 4, ("clock set",))

    def burnt(desks: FourDesks) -> str:
        desks.room.acknowledged["of-the-sheet-that-burnt"] = next(iter(desks.room.acknowledged.values()))
        return "a sheet has burnt on every machine"

    days.accidents = {"burnt": (1, burnt)}
    with pytest.raises(Wrong, match=r"1 acknowledged entries are lost, the first.*of-the-sheet-that-burnt"):
        days.pass_by(0.3)
