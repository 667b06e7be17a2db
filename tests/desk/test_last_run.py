"""Stops done one right after the other: which of the last saves are a run, and how it is taken back."""

from __future__ import annotations

from datetime import date
from pathlib import Path

import pytest

from rounds.desk.desk import Desk
from rounds.logbook.drafts import Draft, draft
from rounds.logbook.entries import Cleaned, Corrected, Entry, Fed, StopWalked
from tests.desks.laptops import Clock, colony, laptop, note, weight

WITHIN = 3.0


class Walker:
    """A keeper at one desk, who does stops at moments of the clock."""

    def __init__(self, folder: Path) -> None:
        self.clock = Clock("2026-04-12 08:00")
        self.folder = colony(folder)
        self.desk: Desk = laptop(self.folder, self.clock)

    def does(self, *drafts: Draft, after: float = 1.0) -> tuple[Entry, ...]:
        """One save, so many s after the one before."""
        self.clock.forward(seconds=after)
        return self.desk.record(*drafts)

    def walks(self, stop: str, after: float = 1.0) -> tuple[Entry, ...]:
        """All plain lines of a stop, and on."""
        return self.does(*plain(stop), done(stop), after=after)


def done(stop: str) -> Draft:
    return draft(StopWalked, f"enclosure/{stop}", walk="morning", day=date(2026, 4, 12))


def plain(stop: str) -> tuple[Draft, Draft]:
    return draft(Fed, f"enclosure/{stop}", food="insects"), draft(Cleaned, f"enclosure/{stop}", extent="spot")


@pytest.fixture
def walker(tmp_path: Path) -> Walker:
    return Walker(tmp_path / "colony")


def test_a_run_goes_back_to_the_last_pause(walker: Walker) -> None:
    walker.walks("b1")
    run = (walker.walks("b2", after=3.5), walker.walks("b3", after=2.9), walker.walks("b4"))
    assert walker.desk.last_run(WITHIN) == run
    assert walker.desk.last_save() == run[-1]
    assert laptop(walker.folder, walker.clock).last_run(WITHIN) == run, "after a restart too"


def test_a_weight_or_a_note_ends_a_run(walker: Walker) -> None:
    walker.walks("b1")
    walker.does(weight("wattle", 400))
    run = (walker.walks("b2"),)
    assert walker.desk.last_run(WITHIN) == run
    walker.does(note("seen"))
    assert walker.desk.last_run(WITHIN) == ()


def test_plain_lines_written_at_a_stop_before_it_was_gone_on_from_belong_to_it(walker: Walker) -> None:
    run = (walker.walks("b1"), walker.does(*plain("b2")), walker.does(done("b2")), walker.walks("b3"))
    assert walker.desk.last_run(WITHIN) == run
    walker.does(*plain("b4"))
    assert walker.desk.last_run(WITHIN) == (), "nothing was gone on from"


def test_a_run_is_taken_back_in_one_save_and_what_was_before_stands(walker: Walker) -> None:
    first = walker.walks("b1")
    run = (walker.walks("b2", after=60), walker.walks("b3"))
    wrong = [entry for save in run for entry in save]
    before = len(list(walker.folder.glob("sheets/*/*.jsonl"))[-1].read_bytes().splitlines())
    assert walker.desk.take_back(wrong=wrong) == tuple(wrong)
    lines = list(walker.folder.glob("sheets/*/*.jsonl"))[-1].read_bytes().splitlines()[before:]
    assert [b'"more":' in line for line in lines] == [True] * 5 + [False], "one save, whole or not at all"
    corrections = [entry for entry in walker.desk.recent if isinstance(entry, Corrected)]
    assert {one.replaces for one in corrections} == {one.id for one in wrong}
    assert walker.desk.last_run(WITHIN) == (first,)
