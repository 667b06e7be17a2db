"""One desk: what it writes, corrects and takes back, and what of the past is recent."""

from __future__ import annotations

from datetime import timedelta
from pathlib import Path

import pytest

from rounds.cache.cache import Cache
from rounds.desk import reader
from rounds.desk.colony_file import load
from rounds.desk.desk import Desk
from rounds.desk.find import find
from rounds.errors import BadEntry
from rounds.logbook.conditions import Conditions
from rounds.logbook.drafts import draft
from rounds.logbook.entries import Corrected, MatingSeen, Noted, Weighed
from rounds.logbook.rows import ms_of
from rounds.sheets.store import Sheets
from rounds.standing.page import RESERVE
from rounds.standing.pages import StoredPages
from tests.desks.laptops import Clock, colony, laptop, note, weight, weights
from tests.notation import at


class Rack:
    """The laptop at the rack, with its clock."""

    def __init__(self, folder: Path) -> None:
        self.clock = Clock("2026-04-12 08:00")
        self.folder = colony(folder)
        self.desk: Desk = laptop(self.folder, self.clock)

    def again(self, keeper: str = "AK") -> Desk:
        """The same desk, started again."""
        return laptop(self.folder, self.clock, keeper=keeper)


@pytest.fixture
def rack(tmp_path: Path) -> Rack:
    """A desk that has just been opened."""
    return Rack(tmp_path / "colony")


def test_nobody_on_shift_writes_nothing(rack: Rack) -> None:
    nobody = rack.again(keeper="")
    with pytest.raises(BadEntry, match="take over"):
        nobody.record(weight("wattle", 400))
    assert nobody.record() == ()
    assert weights(rack.again(), "wattle") == []


def test_what_is_taken_back_is_the_last_key_whole_and_then_the_one_before(rack: Rack) -> None:
    rack.desk.record(weight("wattle", 400))
    rack.desk.record(weight("wattle", 401), weight("sedge", 402), note("both"))
    assert len(rack.desk.take_back()) == 3
    assert (weights(rack.desk, "wattle"), weights(rack.desk, "sedge")) == ([400], [])
    assert len(rack.desk.take_back()) == 1
    assert weights(rack.desk, "wattle") == []
    assert rack.desk.take_back() == ()


def test_each_id_is_later_than_the_one_before_though_the_clock_stands_still(rack: Rack) -> None:
    first, second = rack.desk.record(note("one"), note("two"))
    (third,) = rack.desk.record(note("three"))
    times = [ms_of(entry.id) for entry in (first, second, third)]
    assert all(ms is not None for ms in times)
    one, two, three = (ms or 0 for ms in times)
    assert two == one + 1, "of one save they follow each other"
    assert three > two + 1, "between two saves there is a gap"
    (after,) = rack.again().record(note("four"))
    assert (ms_of(after.id) or 0) > three


def test_a_correction_keeps_the_time_unless_it_brings_its_own(rack: Rack) -> None:
    (wrong,) = rack.desk.record(weight("wattle", 400))
    rack.clock.forward(minutes=10)
    correction, right = rack.desk.correct(wrong, weight("wattle", 410), because="misread")
    assert isinstance(correction, Corrected)
    assert (correction.replaces, correction.instead, correction.because) == (wrong.id, right.id, "misread")
    assert (right.at, right.written) == (at("2026-04-12 08:00"), at("2026-04-12 08:10"))
    _, moved = rack.desk.correct(right, weight("wattle", 410, at("2026-04-12 07:30")))
    assert moved.at == at("2026-04-12 07:30")
    with pytest.raises(BadEntry, match="correction is not corrected"):
        rack.desk.correct(correction)
    (gone,) = rack.desk.correct(moved)
    assert isinstance(gone, Corrected)
    assert gone.instead == ""
    assert weights(rack.desk, "wattle") == []


def test_a_correction_taken_back_gives_what_it_replaced_its_place_again(rack: Rack) -> None:
    (wrong,) = rack.desk.record(weight("wattle", 400))
    rack.desk.correct(wrong, weight("wattle", 410))
    rack.desk.take_back()
    assert weights(rack.desk, "wattle") == [400]


def test_what_a_wrong_entry_said_is_repeated_up_to_five_hundred_letters(rack: Rack) -> None:
    (long,) = rack.desk.record(note("x" * 600))
    (short,) = rack.desk.record(note("seen"))
    assert len(rack.desk.words_of(long)) == 500
    assert rack.desk.words_of(short).endswith("seen")


@pytest.mark.parametrize(("seconds", "recent"), [(0, True), (1, False)])
def test_what_was_written_two_days_ago_is_recent_to_the_second(rack: Rack, seconds: int, recent: bool) -> None:
    rack.desk.record(note("seen"))
    rack.clock.set(at("2026-04-14 08:00") + timedelta(seconds=seconds))
    assert any(isinstance(entry, Noted) for entry in rack.again().recent) is recent


@pytest.mark.parametrize(("seconds", "counts"), [(0, True), (1, False)])
def test_what_another_clock_dates_up_to_an_hour_ahead_counts(rack: Rack, seconds: int, counts: bool) -> None:
    other = laptop(rack.folder, Clock(at("2026-04-12 09:00") + timedelta(seconds=seconds)), "office", "EM")
    other.record(weight("wattle", 400))
    for desk in (rack.desk, rack.again()):
        desk.news()
        assert (weights(desk, "wattle") == [400]) is counts
        assert bool(desk.ahead) is not counts
        assert desk.newest is not None
        assert (desk.newest.at == at("2026-04-12 09:00")) is counts


def test_looking_back_nothing_later_counts_and_no_clock_is_doubted(rack: Rack) -> None:
    rack.desk.record(draft(Weighed, "animal/wattle", at=at("2026-04-10 08:00"), grams=400))
    rack.desk.record(weight("wattle", 410))
    rack.clock.set("2026-12-01 08:00")
    assert rack.again().clock_doubt() != ""
    back = Desk(rack.folder, rack.desk.settings, rack.desk.sheets, clock=rack.clock, until=at("2026-04-11 08:00"))
    back.read()
    assert back.now() == at("2026-04-11 08:00")
    assert weights(back, "wattle") == [400]
    assert back.clock_doubt() == ""
    assert back.ahead == []


def test_a_long_reading_says_after_each_sheet_how_far_it_is(rack: Rack) -> None:
    rack.desk.record(note("seen"))
    told: list[tuple[int, int]] = []
    rack.desk.read(lambda done, of: told.append((done, of)))
    assert told == [(1, 2), (2, 2)]


def test_a_pair_taken_back_is_gone_from_both_pages(rack: Rack) -> None:
    (seen,) = rack.desk.record(draft(MatingSeen, "animal/wattle", sire="animal/karri"))
    assert rack.desk.standing.page("animal/karri").of(MatingSeen) == (seen,)
    rack.desk.correct(seen)
    for who in ("animal/wattle", "animal/karri"):
        assert rack.desk.standing.page(who).of(MatingSeen) == ()


def test_taking_back_leaves_an_earlier_correction_as_it_is(rack: Rack) -> None:
    (wrong,) = rack.desk.record(weight("wattle", 400))
    rack.desk.correct(wrong, weight("wattle", 410))
    rack.desk.record(weight("sedge", 420))
    rack.desk.take_back()
    assert (weights(rack.desk, "wattle"), weights(rack.desk, "sedge")) == ([410], [])


def test_what_is_written_this_second_is_found_and_what_lies_ahead_is_not(rack: Rack) -> None:
    for seconds in (0, 1):
        other = laptop(rack.folder, Clock(at("2026-04-12 09:00") + timedelta(seconds=seconds)), f"d{seconds}")
        other.record(weight("wattle", 400 + seconds))
    rack.clock.set("2026-04-12 09:00")
    back = Desk(rack.folder, rack.desk.settings, rack.desk.sheets, clock=rack.clock, until=rack.clock.now)
    back.read()
    grams = [
        one.entry.grams
        for step in find(back, Conditions(kinds=("weighed",)))
        for one in step.found
        if isinstance(one.entry, Weighed)
    ]
    assert grams == [400]


def test_what_is_found_is_handed_out_newest_first_though_it_was_written_late(rack: Rack) -> None:
    for day in (10, 11, 12):
        rack.clock.set(f"2026-04-{day} 08:00")
        rack.desk.record(weight("wattle", day))
        rack.desk.record(weight("sedge", day + 100, at(f"2026-04-0{day - 5} 08:00")))
    steps = [
        [one.entry.grams for one in step.found if isinstance(one.entry, Weighed)]
        for step in find(rack.desk, Conditions(kinds=("weighed",)))
    ]
    assert [grams for step in steps for grams in step] == [12, 11, 10, 112, 111, 110]


def test_the_only_entry_of_a_subject_is_found(rack: Rack) -> None:
    (step,) = find(rack.desk, Conditions(subjects=("animal/karri",), kinds=("arrived",)))
    assert [one.entry.about for one in step.found] == ["animal/karri"]


def test_when_so_much_is_taken_back_that_a_page_runs_short_the_older_weights_stand_on_it_again(rack: Rack) -> None:
    many = 3 * Weighed.keep
    for number in range(many):
        rack.desk.record(weight("wattle", 400 + number))
        rack.clock.forward(days=1)
    wrong = rack.desk.standing.page("animal/wattle").of(Weighed)[-RESERVE - 1 :]
    rack.desk.record(*[draft(Corrected, one.about, replaces=one.id) for one in wrong])
    assert not rack.desk.standing.page("animal/wattle").short
    assert weights(rack.desk, "wattle") == weights(rack.again(), "wattle")
    assert weights(rack.desk, "wattle")[-1] == 400 + many - RESERVE - 2


def test_after_a_long_reading_the_pages_are_those_that_were_kept(
    rack: Rack, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    rack.desk.record(weight("wattle", 400))
    monkeypatch.setattr(reader, "_LONG", 1)
    cache = Cache(rack.folder, tmp_path / "cache")
    desk = Desk(rack.folder, load(rack.folder), Sheets(rack.folder, "office"), clock=rack.clock, cache=cache)
    desk.read()
    assert isinstance(desk.standing.pages, StoredPages)
    assert desk.standing == rack.again().standing
