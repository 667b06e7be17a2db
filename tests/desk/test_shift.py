"""After each key the board says what a desk that starts now would say."""

from __future__ import annotations

from collections.abc import Callable
from datetime import date
from pathlib import Path

import pytest

from rounds.desk.end_of_shift import hand_over_draft, waiting
from rounds.desk.shift import Shift
from rounds.due import reckon
from rounds.due.lines import lines_at
from rounds.logbook.drafts import Draft, draft
from rounds.logbook.entries import (
    ROOM,
    Ate,
    BehaviourSeen,
    ClimateRead,
    Died,
    EggBoxShelved,
    EggBoxWeighed,
    EggsBoxed,
    EggsLost,
    Fed,
    HandedOver,
    Hatched,
    Left,
    LeftOut,
    MatingSeen,
    Moved,
    PutOff,
    QuarantineEnded,
    TakenOver,
    Weighed,
)
from tests.desks.laptops import Clock, colony, laptop

#: Two tubs and those who live there; Wattle and Karri are together, and she is too light for it.
TUBS = """
2026-03-01 EM
08:00 enclosure/b3     enclosure_set_up name=B3
08:00 enclosure/b4     enclosure_set_up name=B4
08:01 wattle  arrived name=Wattle sex=F hatched=2023-02-01 place=enclosure/b3
08:02 sedge   arrived name=Sedge sex=F hatched=2022-12-01 place=enclosure/b4
08:03 karri   arrived name=Karri sex=M hatched=2022-02-01 place=enclosure/b3
08:04 wattle  weighed grams=340
08:04 sedge   weighed grams=345
"""


class Board:
    """A shift under way, held against one that begins now."""

    def __init__(self, folder: Path) -> None:
        self.clock = Clock("2026-03-02 08:00")
        self.folder = colony(folder, TUBS)
        self.shift = Shift(laptop(self.folder, self.clock))
        self.shift.reckon_now()
        for place in ("enclosure/b3", "enclosure/b4"):
            self.shift.lines(place)

    def agrees(self) -> None:
        """What it shows is what everything reckoned from nothing gives."""
        desk, now = self.shift.desk, self.shift.now()
        assert self.shift.all_matters == reckon.matters(desk.standing, desk.house, now)
        for place in ("enclosure/b3", "enclosure/b4"):
            assert self.shift.lines(place) == lines_at(desk.standing, desk.house, now, place, self.shift.part)

    def together(self) -> list[str]:
        """Who is to be parted."""
        return [one.about for one in self.shift.matters if one.rule == "should not be together"]


@pytest.fixture
def board(tmp_path: Path) -> Board:
    """A shift that has reckoned everything."""
    return Board(tmp_path / "colony")


def moved(who: str, to: str) -> Draft:
    return draft(Moved, f"animal/{who}", to=f"enclosure/{to}")


def test_who_stays_behind_is_reckoned_again_when_another_moves_out(board: Board) -> None:
    assert board.together() == ["animal/wattle"]
    board.shift.record(moved("karri", "b4"))
    assert board.together() == ["animal/sedge"], "parted from the one, with the other now"
    board.agrees()
    board.shift.take_back()
    assert board.together() == ["animal/wattle"]
    board.agrees()


@pytest.mark.parametrize(
    "key",
    [
        lambda: draft(Fed, "enclosure/b3"),
        lambda: draft(Ate, "animal/wattle", how="refused"),
        lambda: draft(Weighed, "animal/wattle", grams=420),
        lambda: draft(BehaviourSeen, "enclosure/b3", behaviour="nest digging"),
        lambda: draft(BehaviourSeen, "animal/karri", behaviour="nest digging"),
        lambda: draft(Died, "animal/karri"),
        lambda: draft(Left, "animal/karri", how="sold"),
        lambda: moved("wattle", "b4"),
    ],
)
def test_whatever_a_key_writes_the_tub_is_reckoned_again(board: Board, key: Callable[[], Draft]) -> None:
    (entry,) = board.shift.record(key())
    board.agrees()
    board.shift.correct(entry)
    board.agrees()


#: A box on a shelf that was too hot this morning, with eggs about to hatch; and eggs that wait for a box.
SHELVES = """
2026-01-01 EM
08:00 enclosure/s1 enclosure_set_up name=S1 what="incubator shelf"
08:00 enclosure/s2 enclosure_set_up name=S2 what="incubator shelf"
08:00 enclosure/k1 enclosure_set_up name=K1 what="egg box"
08:00 enclosure/k2 enclosure_set_up name=K2 what="egg box"
08:00 enclosure/k1 egg_box_made_up medium=vermiculite tare_grams=95 dry_grams=120 ratio=1 shelf=enclosure/s1
08:00 enclosure/k2 egg_box_made_up medium=vermiculite tare_grams=95 dry_grams=120 ratio=1 shelf=enclosure/s2
08:01 wattle arrived name=Wattle sex=F hatched=2023-02-01
09:00 wattle eggs_laid clutch=clutch/wattle-1 count=18 complete=true
10:00 clutch/wattle-1 eggs_boxed count=18 place=enclosure/k1
2026-03-01
09:00 wattle eggs_laid clutch=clutch/wattle-2 count=12 complete=true
20:00 enclosure/s2 climate_read air_c=33.5
2026-03-02
06:00 enclosure/s1 climate_read air_c=29
06:00 enclosure/s2 climate_read air_c=29
"""


@pytest.mark.parametrize(
    "key",
    [
        lambda: draft(ClimateRead, "enclosure/s1", air_c=33.5),
        lambda: draft(ClimateRead, "enclosure/s1", air_c=26),
        lambda: draft(EggsBoxed, "clutch/wattle-2", count=12, place="enclosure/k2"),
        lambda: draft(EggBoxShelved, "enclosure/k1", shelf="enclosure/s2"),
        lambda: draft(EggBoxWeighed, "enclosure/k1", grams=380),
        lambda: draft(EggsLost, "clutch/wattle-1", count=2),
        lambda: draft(Hatched, "clutch/wattle-1", count=18),
    ],
)
def test_a_box_and_the_shelf_it_stands_on_are_reckoned_again_together(
    tmp_path: Path, key: Callable[[], Draft]
) -> None:
    shift = Shift(laptop(colony(tmp_path / "colony", SHELVES), Clock("2026-03-02 08:00")))
    shift.reckon_now()
    desk, now = shift.desk, shift.now()
    places = desk.standing.subjects("enclosure")

    def agrees() -> None:
        assert shift.all_matters == reckon.matters(desk.standing, desk.house, now)
        for place in places:
            assert shift.lines(place) == lines_at(desk.standing, desk.house, now, place, shift.part)

    agrees()
    (entry,) = shift.record(key())
    agrees()
    shift.correct(entry)
    agrees()


@pytest.mark.parametrize(
    "away",
    [
        lambda: draft(EggBoxShelved, "enclosure/k2", shelf="enclosure/s1"),
        lambda: draft(EggsBoxed, "clutch/wattle-2", count=12, place="enclosure/s1"),
        lambda: draft(EggsBoxed, "clutch/wattle-2", count=12, place="enclosure/k1"),
    ],
)
def test_the_shelf_that_eggs_left_is_reckoned_again_too(tmp_path: Path, away: Callable[[], Draft]) -> None:
    shift = Shift(laptop(colony(tmp_path / "colony", SHELVES), Clock("2026-03-02 08:00")))
    shift.reckon_now()
    desk, now = shift.desk, shift.now()
    shift.record(draft(EggsBoxed, "clutch/wattle-2", count=12, place="enclosure/k2"))
    assert any(one.about == "enclosure/s2" for one in shift.all_matters)
    (entry,) = shift.record(away())
    assert not any(one.about == "enclosure/s2" for one in shift.all_matters)
    assert shift.all_matters == reckon.matters(desk.standing, desk.house, now)
    shift.correct(entry)
    assert shift.all_matters == reckon.matters(desk.standing, desk.house, now)


def test_what_another_desk_writes_is_reckoned_at_the_next_look(board: Board) -> None:
    other = laptop(board.folder, board.clock, "office", "EM")
    other.record(moved("karri", "b4"))
    assert board.shift.news() == {"animal/karri", "enclosure/b4"}
    assert board.together() == ["animal/sedge"]
    board.agrees()


def test_a_key_struck_while_everything_is_reckoned_again_counts(board: Board) -> None:
    reckoning = board.shift.reckon_all()
    for _ in range(6):
        next(reckoning)
    board.shift.record(moved("karri", "b4"))
    for _ in reckoning:
        pass
    assert board.together() == ["animal/sedge"]
    board.agrees()


def test_a_matter_put_off_is_kept_but_not_counted(board: Board) -> None:
    (matter,) = [one for one in board.shift.matters if one.rule == "should not be together"]
    before = board.shift.counts()[matter.level]
    off = draft(PutOff, matter.about, matter=matter.key, until=date(2026, 3, 4), reason="her tub is wet")
    board.shift.record(off)
    assert board.together() == []
    assert matter.key in {one.key for one in board.shift.all_matters}
    assert board.shift.counts()[matter.level] == before - 1
    board.shift.record(draft(QuarantineEnded, "animal/wattle"))
    board.agrees()


# The walk of the hour


@pytest.mark.parametrize(
    ("now", "turned", "part"),
    [
        ("2026-03-02 23:00", False, "morning"),
        ("2026-03-03 00:30", False, "morning"),
        ("2026-03-03 08:00", True, "morning"),
        ("2026-03-03 20:00", True, "evening"),
    ],
)
def test_a_walk_is_not_cut_in_two_by_the_clock_and_the_next_day_has_its_own(
    board: Board, now: str, turned: bool, part: str
) -> None:
    board.clock.set(now)
    assert board.shift.turn() is turned
    assert board.shift.part == part
    assert not board.shift.turn()


@pytest.mark.parametrize(
    ("now", "part"),
    [("2026-03-02 12:00", "morning"), ("2026-03-02 23:00", "evening"), ("2026-03-03 00:30", "evening")],
)
def test_a_shift_begins_with_the_walk_of_the_hour(board: Board, now: str, part: str) -> None:
    board.clock.set(now)
    board.shift.begin_walk()
    assert board.shift.part == part
    assert not board.shift.turn()


def test_another_walk_has_its_own_stops_and_lines(board: Board) -> None:
    morning = board.shift.walk()
    assert morning.part == "morning"
    assert board.shift.walk() is morning
    board.shift.choose_walk("evening")
    assert board.shift.walk().part == "evening"
    board.agrees()


def test_everything_read_again_is_reckoned_again(board: Board) -> None:
    board.shift.forget()
    assert board.shift.reckoned_at is None
    board.agrees()
    assert board.shift.reckoned_at == board.clock.now


def test_matters_of_some_subjects_come_worst_first_and_each_once(board: Board) -> None:
    board.shift.record(draft(BehaviourSeen, "animal/wattle", behaviour="nest digging"))
    some = ["animal/sedge", "animal/wattle", "enclosure/b3", "animal/wattle"]
    found = board.shift.matters_about(some)
    assert [one for one in board.shift.all_matters if one.about in some] == list(found)


# Who is on shift, and what waits


def test_who_took_over_here_and_did_not_hand_over_is_asked_whether_they_go_on(board: Board) -> None:
    shift, desk = board.shift, board.shift.desk
    assert shift.keeper_before() == ""
    shift.record(draft(TakenOver, ROOM, desk=desk.name))
    assert shift.keeper_before() == "AK"
    other = laptop(board.folder, board.clock, "office", "EM")
    other.record(draft(TakenOver, ROOM, desk=other.name))
    shift.news()
    assert shift.keeper_before() == "AK", "what is taken over at another desk is another shift"
    shift.record(draft(HandedOver, ROOM, sheet="all well", desk=desk.name))
    assert shift.keeper_before() == ""


def test_an_egg_check_that_is_due_is_not_signed_over_unasked_and_one_left_out_is(board: Board) -> None:
    assert waiting(board.shift) == []
    board.shift.record(draft(MatingSeen, "animal/wattle"))
    board.clock.set("2026-03-30 08:00")
    board.shift.begin_walk()
    board.shift.reckon_now()
    (check,) = waiting(board.shift)
    assert (check.care, check.about) == ("egg check", "animal/wattle")
    board.shift.record(draft(LeftOut, "animal/wattle", care="egg check", reason="asleep"))
    assert waiting(board.shift) == []


def test_signing_writes_the_sheet_with_its_notes_once_each_matter_for_the_vet_was_read(board: Board) -> None:
    desk, shift = board.shift.desk, board.shift
    assert shift.day == date(2026, 3, 2)
    desk.record(draft(TakenOver, ROOM))
    shift.reckon_now()
    signed = hand_over_draft(shift, "B4 is wet")
    assert signed.kind is HandedOver
    assert signed.fields["note"] == "B4 is wet"
    assert signed.fields["desk"] == desk.name
    assert "B4 is wet" in signed.fields["sheet"]
