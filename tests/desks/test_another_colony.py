"""Another colony at the place of one: nothing of the one is written, or offered, on the sheets of the other."""

from __future__ import annotations

import shutil
from pathlib import Path

import pytest

from rounds.desk.desk import Desk
from tests.desks.clones import Machine, put_back
from tests.desks.laptops import ROOM, Clock, colony, ids, laptop, note
from tests.desks.test_missing import TODAY, folder, known, missing, older, started

__all__ = ["folder"]

#: Who lives in the other one.
OTHER = ROOM.replace("2026-03-01", "2026-02-11").replace("wattle", "mulga").replace("b3", "c3")


def other(place: Path) -> Path:
    """Another colony, with a note of today on a sheet."""
    made = colony(place, OTHER)
    laptop(made, Clock("2026-04-12 07:00"), "shelf", "EM").record(note("in the other one"))
    return made


def swap(place: Path, there: Path) -> None:
    """A sync program, or a drive at the same mount point, puts what lies there into the same folder."""
    for each in place.iterdir():
        shutil.rmtree(each) if each.is_dir() else each.unlink()
    shutil.copytree(there, place, dirs_exist_ok=True)


def test_what_is_missing_in_one_colony_is_not_offered_in_another_at_its_path(folder: Path, tmp_path: Path) -> None:
    known(folder)
    older(folder / TODAY, 2)
    desk = started(folder)
    assert len(missing(desk)) == 2
    assert desk.keep()
    folder.rename(tmp_path / "old")
    other(folder)
    assert missing(started(folder)) == []
    shutil.rmtree(folder)
    (tmp_path / "old").rename(folder)
    assert len(missing(started(folder))) == 2, "it is offered where it belongs"


def test_nor_when_the_cache_is_gone(folder: Path, tmp_path: Path) -> None:
    from rounds.cache.cache import Cache

    known(folder)
    older(folder / TODAY, 2)
    assert len(missing(started(folder))) == 2
    folder.rename(tmp_path / "old")
    other(folder)
    Cache(folder).drop()
    assert missing(started(folder)) == []


@pytest.mark.parametrize("looks", [1, 4])
def test_another_colony_put_under_an_open_desk_brings_no_offer(folder: Path, tmp_path: Path, looks: int) -> None:
    known(folder)
    desk = started(folder)
    desk.news()
    swap(folder, other(tmp_path / "other"))
    for _ in range(looks):
        desk.news()
        if desk.is_stale:
            desk.read()
    assert missing(desk) == []
    assert missing(started(folder)) == []


@pytest.mark.parametrize("writing", [True, False])
def test_another_colony_put_under_a_desk_that_writes_gets_none_of_its_entries(
    shed: Machine, tmp_path: Path, writing: bool
) -> None:
    for text in ("451", "452", "453"):
        shed.write(text)
    if not writing:
        shed.quit()
        shed.open()
    shed.listen()
    there = other(tmp_path / "other")
    before = ids(there)
    swap(shed.colony, there)
    for _ in range(4):
        shed.listen()
    shed.quit()
    assert ids(shed.colony) == before
    shed.open()
    shed.listen()
    shed.quit()
    assert ids(shed.colony) == before


def test_nor_when_both_were_written_by_a_desk_of_one_name(shed: Machine, tmp_path: Path) -> None:
    there = other(tmp_path / "other")
    shed.write("451")
    desk = Desk.open(there, clock=shed.clock, keeper="EM")
    shed.quit()
    desk.close()
    with_it = Machine(tmp_path, shed.clock)
    with_it.colony = there
    with_it.home = shed.home
    with_it.write("in the other one too")
    with_it.quit()
    before = ids(there)
    shed.write("452")
    shed.listen()
    swap(shed.colony, there)
    for _ in range(4):
        shed.listen()
    shed.quit()
    assert ids(shed.colony) == before


def test_a_sheet_put_back_byte_for_byte_is_missing_no_more_in_a_small_colony_too(folder: Path) -> None:
    known(folder)
    whole = (folder / TODAY).read_bytes()
    older(folder / TODAY, 2)
    assert len(missing(started(folder))) == 2
    put_back(folder / TODAY, whole)
    desk = started(folder)
    assert missing(desk) == []
    assert desk.missing is None
