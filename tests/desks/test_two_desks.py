"""Two desks on one colony: each hears of the other at the next look, and both count."""

from __future__ import annotations

from pathlib import Path

import pytest

from rounds.desk.desk import Desk
from rounds.desk.shift import Shift
from rounds.due import reckon
from rounds.errors import BadEntry
from rounds.logbook.drafts import draft
from rounds.logbook.entries import BehaviourSeen, Corrected, Entry, Fed, MatingSeen, Moved, StopWalked, Weighed
from tests.desks.laptops import ROOM, Clock, colony, ids, laptop, matters, note, stop, walk, weight, weights


class Two:
    """The laptop at the rack and the one in the office, over one folder and one clock."""

    def __init__(self, folder: Path, page: str = ROOM) -> None:
        self.clock = Clock("2026-04-12 08:00")
        self.folder = colony(folder, page)
        self.rack = laptop(self.folder, self.clock, "rack", "AK")
        self.office = laptop(self.folder, self.clock, "office", "EM")

    def hear(self) -> None:
        """Both look what is new."""
        self.clock.forward(seconds=1)
        for desk in (self.rack, self.office):
            desk.news()

    def agree(self) -> None:
        """Both know the same, and so does whoever opens the colony now."""
        third = laptop(self.folder, self.clock, "third")
        assert self.rack.standing.digest() == self.office.standing.digest() == third.standing.digest()
        assert matters(self.rack) == matters(self.office) == matters(third)


@pytest.fixture
def two(tmp_path: Path) -> Two:
    """Two desks that have just been opened."""
    return Two(tmp_path / "colony")


def test_what_one_desk_writes_the_other_knows_at_its_next_look(two: Two) -> None:
    two.rack.record(weight("wattle", 452))
    assert weights(two.office, "wattle") == []
    assert two.office.news() == {"animal/wattle"}
    assert weights(two.office, "wattle") == [452]
    assert two.office.news() == frozenset(), "news is told once"
    assert two.rack.news() == frozenset(), "and one's own writing is no news"
    two.agree()


def test_many_saves_between_two_looks_all_arrive(two: Two) -> None:
    for number in range(72):
        two.rack.record(weight("wattle", 400 + number), note(f"{number}"))
    assert two.office.news() == {"animal/wattle", "room"}
    kept = range(472 - Weighed.a_day, 472)
    assert len(kept) == 48, "a page keeps the newest 48 weighings of a day"
    assert weights(two.office, "wattle") == [float(grams) for grams in kept]
    two.agree()


def test_the_same_stop_done_at_both_desks_is_done_twice_and_not_hidden(two: Two) -> None:
    two.rack.record(draft(Fed, "enclosure/b3"), stop("b3", "2026-04-12"))
    two.clock.forward(seconds=20)
    two.office.record(draft(Fed, "enclosure/b3"), stop("b3", "2026-04-12"))
    two.hear()
    for desk in (two.rack, two.office):
        now = walk(desk)
        assert [(one.by, f"{one.at:%H:%M:%S}") for one in now.done["enclosure/b3"]] == [
            ("AK", "08:00:00"),
            ("EM", "08:00:20"),
        ]
        assert now.progress == (1, 2), "one stop of two is done, though twice"
        assert len(desk.standing.page("enclosure/b3").of(Fed)) == 2
    two.agree()


def test_each_desk_goes_on_behind_its_own_last_stop(two: Two) -> None:
    two.rack.record(stop("b3", "2026-04-12"))
    two.hear()
    assert (walk(two.rack).resume_for("AK"), walk(two.office).resume_for("EM")) == ("enclosure/b4", "enclosure/b4")
    two.office.record(stop("b4", "2026-04-12"))
    two.hear()
    assert walk(two.rack).finished
    assert walk(two.office).finished


def test_an_entry_of_the_other_desk_is_corrected_and_both_know(two: Two) -> None:
    (wrong,) = two.rack.record(weight("wattle", 45.2))
    two.clock.forward(minutes=3)
    two.office.news()
    correction, right = two.office.correct(
        wrong, draft(Weighed, "animal/wattle", grams=452), because="a point too many"
    )
    assert isinstance(correction, Corrected)
    assert (correction.by, right.by, right.at) == ("EM", "EM", wrong.at)
    two.hear()
    for desk in (two.rack, two.office):
        assert weights(desk, "wattle") == [452]
        assert wrong in desk.history("animal/wattle"), "the wrong one stays readable"
    assert two.rack.last_save() == (), "what another has corrected is not there to be taken back"
    two.agree()


def test_a_correction_that_arrives_before_what_it_corrects_holds_all_the_same(tmp_path: Path) -> None:
    clock = Clock("2026-04-12 08:00")
    here, there = colony(tmp_path / "here"), colony(tmp_path / "there")
    rack = laptop(here, clock, "rack", "AK")
    (wrong,) = rack.record(weight("wattle", 45.2))
    sheet = next(here.rglob("*.rack.jsonl"))
    office = laptop(here, clock, "office", "EM")
    office.correct(wrong)
    listener = laptop(there, clock, "listener")
    for name in ("office", "rack"):
        source = next(here.rglob(f"*.{name}.jsonl"))
        target = there / source.relative_to(here)
        target.parent.mkdir(parents=True, exist_ok=True)
        target.write_bytes(source.read_bytes())
        listener.news()
        assert weights(listener, "wattle") == []
    assert sheet.is_file()
    rack.news()
    assert listener.standing.digest() == rack.standing.digest()


def test_both_desks_correct_one_entry_and_it_is_dead_once(two: Two) -> None:
    (wrong,) = two.rack.record(weight("wattle", 45.2))
    two.office.news()
    two.rack.correct(wrong, draft(Weighed, "animal/wattle", grams=451))
    two.office.correct(wrong, draft(Weighed, "animal/wattle", grams=452))
    two.hear()
    assert sorted(weights(two.rack, "wattle")) == [451, 452], "two figures were given, and check tells of it"
    two.agree()


def test_a_correction_is_not_corrected_at_the_other_desk_either(two: Two) -> None:
    (wrong,) = two.rack.record(weight("wattle", 45.2))
    (correction,) = two.rack.correct(wrong)
    two.office.news()
    with pytest.raises(BadEntry, match="write the entry again"):
        two.office.correct(correction)


def test_taking_back_takes_back_the_own_last_key_and_never_the_other_keepers(two: Two) -> None:
    (mine,) = two.rack.record(weight("wattle", 452))
    two.clock.forward(seconds=5)
    (theirs,) = two.office.record(weight("sedge", 398))
    two.hear()
    assert two.rack.take_back() == (mine,)
    two.hear()
    assert two.rack.take_back() == ()
    assert two.office.last_save() == (theirs,)
    assert (weights(two.office, "wattle"), weights(two.office, "sedge")) == ([], [398])
    two.agree()


def test_moves_at_both_desks_end_at_the_later_one(two: Two) -> None:
    two.office.record(draft(Moved, "animal/karri", to="enclosure/b3"))
    two.clock.forward(seconds=1)
    two.rack.record(draft(Moved, "animal/karri", to="enclosure/b4"))
    two.hear()
    for desk in (two.rack, two.office):
        assert desk.standing.living_in("enclosure/b4") == ("animal/karri",)
        assert desk.standing.living_in("enclosure/b3") == ("animal/sedge", "animal/wattle")
    two.agree()


def test_what_the_other_desk_saw_raises_the_matter_here(two: Two) -> None:
    shift = Shift(two.rack)
    shift.reckon_now()
    two.office.record(draft(MatingSeen, "animal/wattle", sire="animal/karri"))
    two.clock.forward(days=24)
    two.office.record(draft(BehaviourSeen, "animal/wattle", behaviour="nest digging"))
    before = shift.matters
    assert shift.news() == {"animal/wattle", "animal/karri"}
    shift.reckon_now()
    dug = [one for one in shift.matters if one.about == "animal/wattle" and "lay box" in one.says]
    assert dug
    assert dug[0] not in before
    found = reckon.matters(two.rack.standing, two.rack.house, two.rack.now())
    assert [one.key for one in found if one.put_off is None] == [one.key for one in shift.matters]


def test_news_leaves_alone_what_a_keeper_is_doing(two: Two) -> None:
    shift = Shift(two.rack)
    standing = two.rack.standing
    assert shift.news() == frozenset()
    assert two.rack.standing is standing, "nothing new, nothing worked out again"
    shift.choose_walk("evening")
    two.office.record(stop("b3", "2026-04-12"))
    shift.news()
    assert shift.part == "evening"


def test_a_desk_opened_years_later_reads_what_all_desks_wrote(two: Two) -> None:
    written: list[Entry] = []
    for day in range(30):
        two.clock.set(f"2026-{1 + day // 28:02}-{1 + day % 28:02} 08:00")
        for desk in (two.rack, two.office):
            written += desk.record(note(desk.name))
    later = laptop(two.folder, "2036-04-12 08:00", "later")
    assert {one.id for one in written} <= {one.id for one in later.history("room")}
    assert sorted(ids(two.folder)) == sorted(set(ids(two.folder)))
    assert isinstance(later, Desk)


def test_a_stop_taken_back_at_one_desk_is_open_at_both(two: Two) -> None:
    two.rack.record(stop("b3", "2026-04-12"))
    two.hear()
    assert walk(two.office).progress == (1, 2)
    two.rack.take_back("wrong tub")
    two.hear()
    for desk in (two.rack, two.office):
        assert walk(desk).progress == (0, 2)
        assert desk.standing.page("enclosure/b3").of(StopWalked) == ()
    two.agree()
