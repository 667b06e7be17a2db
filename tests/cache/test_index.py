"""A subject's history by the index is the history that all sheets tell, or the index is not used."""

from __future__ import annotations

import random
import tempfile
from collections.abc import Iterator
from datetime import date, timedelta
from pathlib import Path

import msgspec
import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from rounds.cache import index as index_module
from rounds.cache.index import Index, Segment
from rounds.cache.store import DATABASE, Store
from rounds.cache.trust import Doubtful
from rounds.desk.colony_file import write_new
from rounds.desk.desk import Desk
from rounds.logbook.entries import Entry
from rounds.sheets.parse import Lines
from rounds.sheets.positions import SheetLines, Span
from rounds.sheets.store import Sheets
from tests.any_entries import START, SUBJECTS, entries
from tests.cache.test_cache import database, opened
from tests.conftest import RecordFigure, examples
from tests.desks.laptops import Clock

EVENING = START + timedelta(days=60, hours=18)
EVERY = [subject for sort in SUBJECTS.values() for subject in sort]


@pytest.fixture(autouse=True)
def _small_segments(monkeypatch: pytest.MonkeyPatch) -> None:
    """An index also for a page of entries, of segments of some sheets."""
    monkeypatch.setattr(index_module, "WORTH_A_SEGMENT", 1)
    monkeypatch.setattr(index_module, "SEGMENT_BYTES", 3000)
    monkeypatch.setattr(index_module, "_MOST_SMALL", 3)


def by_the_sheets(folder: Path, subject: str) -> list[Entry]:
    """Every entry on a subject's page, by reading all."""
    found = [entry for entry in Sheets(folder, "reader").read() if subject in entry.subjects()]
    return sorted(found, key=lambda entry: entry.key)


def uses_the_index(desk: Desk) -> bool:
    """Whether it has one, and a history made no doubt of it."""
    assert desk._cache is not None
    return desk._cache.index is not None


@settings(
    max_examples=examples(20), suppress_health_check=[HealthCheck.too_slow, HealthCheck.function_scoped_fixture]
)
@given(
    st.lists(st.tuples(entries(), st.sampled_from(["rack", "office"]), st.integers(0, 30)), min_size=2, max_size=6)
)
def test_a_history_by_the_index_is_that_of_the_sheets(runs: list[tuple[list[Entry], str, int]]) -> None:
    with tempfile.TemporaryDirectory() as home:
        folder, keep = Path(home, "colony"), Path(home, "cache")
        write_new(folder, "Quandong shed", "Europe/Vienna")
        clock = Clock(EVENING)
        for number, (written, name, late) in enumerate(runs):
            new = [msgspec.structs.replace(entry, id=f"{number}{entry.id}") for entry in written]
            Sheets(folder, name).append(new, (EVENING - timedelta(days=late)).date())
            desk = opened(folder, clock, keep=keep)
            assert all(desk.history(subject) == by_the_sheets(folder, subject) for subject in EVERY)
            assert desk.keep()
            again = opened(folder, clock, keep=keep)
            assert all(again.history(subject) == by_the_sheets(folder, subject) for subject in EVERY)
            if new:
                assert uses_the_index(again)
            clock.forward(hours=5)


@pytest.fixture
def clock() -> Clock:
    return Clock(EVENING)


@pytest.fixture
def folder(tmp_path: Path) -> Path:
    """A colony with a week of entries by two desks, some of them about several subjects."""
    made = tmp_path / "colony"
    write_new(made, "Quandong shed", "Europe/Vienna")
    chance = random.Random(3)
    for day in range(7):
        for name in ("rack", "office"):
            sheets = Sheets(made, name)
            sheets.append(some_entries(chance, f"{day}{name}"), date(2026, 2, 20) + timedelta(days=day))
            sheets.close()
    return made


def some_entries(chance: random.Random, mark: str) -> list[Entry]:
    """Forty entries, always the same for the same chance."""
    from tests.desks.laptops import note, stop, weight

    drafts = [weight("wattle", 400), weight("karri", 300), stop("b3", "2026-02-20"), note("ä" * 700), note("short")]
    return [
        chance.choice(drafts).entry(f"{mark}{number}", START + timedelta(minutes=chance.randrange(40_000)), "AK")
        for number in range(40)
    ]


@pytest.fixture
def keep(folder: Path, tmp_path: Path, clock: Clock) -> Path:
    assert opened(folder, clock, keep=tmp_path / "cache").keep()
    return tmp_path / "cache"


@pytest.fixture
def looked_through(monkeypatch: pytest.MonkeyPatch) -> Iterator[list[str]]:
    """The subjects whose history was found by looking through all sheets."""
    found: list[str] = []
    about = Sheets.about

    def noted(sheets: Sheets, subject: str) -> Iterator[Entry]:
        found.append(subject)
        return about(sheets, subject)

    monkeypatch.setattr(Sheets, "about", noted)
    return found  # type: ignore[return-value]


def test_a_history_by_the_index_looks_through_no_sheet(
    folder: Path, keep: Path, clock: Clock, looked_through: list[str]
) -> None:
    desk = opened(folder, clock, keep=keep)
    for subject in ("animal/wattle", "animal/karri", "enclosure/b3", "room", "animal/nobody"):
        assert desk.history(subject) == by_the_sheets(folder, subject)
    assert looked_through == []


class Forged(Store):
    """A store that gives one content for each part of a segment."""

    def __init__(self, part: object = None) -> None:
        self._database = None
        self.part = msgspec.msgpack.encode(part)

    def segment(self, segment: int, part: int, known_by: bytes) -> bytes:
        return self.part


@pytest.mark.parametrize(
    ("part", "digests"),
    [
        ({"animal/wattle": b"odd"}, 256),
        ({"animal/wattle": bytes(8)}, 0),
        ({"animal/wattle": b"\0\0\0\0\2\0\0\0"}, 256),
        ([], 256),
    ],
    ids=["half a position", "parts without a digest", "a sheet that it does not cover", "no subjects"],
)
def test_a_segment_that_does_not_hold_together_is_doubted(part: object, digests: int) -> None:
    segment = Segment(1, [Span("sheets/2026/2026-03-10.rack.jsonl", 0, 9)], 9, [b""] * digests)
    with pytest.raises(Doubtful):
        Index(Forged(part), (segment,)).places("animal/wattle")


def test_what_are_no_segments_and_a_sheet_not_covered_from_its_beginning_are_doubted() -> None:
    segment = msgspec.msgpack.encode((Segment(1, [Span("a", 0, 9)], 9, []),))
    for forged in (b"\xc1", segment.replace(b"a", b"\xff")):
        with pytest.raises(Doubtful):
            Index(Forged(), forged).segments  # noqa: B018
    later = Segment(1, [Span("sheets/2026/2026-03-10.rack.jsonl", 5, 9)], 4, [])
    with pytest.raises(Doubtful):
        Index(Forged(), (later,)).covered  # noqa: B018


def test_a_desk_that_reads_all_again_makes_its_index_again(folder: Path, keep: Path, clock: Clock) -> None:
    desk = opened(folder, clock, keep=keep)
    desk.read()
    assert uses_the_index(desk)
    assert desk.history("animal/wattle") == by_the_sheets(folder, "animal/wattle")


def test_where_a_sheet_cannot_be_read_for_the_index_the_rest_is_kept_without_it(
    folder: Path, keep: Path, clock: Clock, monkeypatch: pytest.MonkeyPatch
) -> None:
    from tests.desks.laptops import weight

    desk = opened(folder, clock, keep=keep)
    desk.record(weight("wattle", 433))
    monkeypatch.setattr(SheetLines, "span", lambda *_: None)
    assert desk.keep()
    again = opened(folder, clock, keep=keep)
    assert again.history("animal/wattle") == by_the_sheets(folder, "animal/wattle")


def test_the_newest_come_first_so_that_a_screenful_need_not_wait(folder: Path, keep: Path, clock: Clock) -> None:
    desk = opened(folder, clock, keep=keep)
    assert desk._cache is not None
    index = desk._cache.index
    assert index is not None
    read: list[str] = []

    class Noting(SheetLines):
        def _lines_at(self, path: str, starts: object) -> list[bytes]:
            read.append(path)
            return super()._lines_at(path, starts)  # type: ignore[arg-type]

    noting = Noting(desk.sheets._shelf, desk.sheets._watch.marks)
    list(noting.about("room", index.places("room"), index.covered))
    assert read == sorted(read, reverse=True)
    assert len(read) == 14


def test_no_wrong_byte_of_the_index_changes_a_history(
    folder: Path, keep: Path, clock: Clock, record_figure: RecordFigure
) -> None:
    right = {subject: by_the_sheets(folder, subject) for subject in EVERY}
    (kept,) = keep.iterdir()
    chance = random.Random(5)
    cases = 0
    whole = (kept / DATABASE).read_bytes()
    with database(kept) as tables:
        parts = tables.execute("SELECT rowid, content FROM segments WHERE length(content) > 1").fetchall()
    for _ in range(150):
        row, content = chance.choice(parts)
        harmed = bytearray(content)
        harmed[chance.randrange(len(content))] ^= 1 << chance.randrange(8)
        cut = harmed[: chance.randrange(len(harmed))]
        with database(kept) as tables:
            if chance.random() < 0.9:
                harm = bytes(harmed if chance.random() < 0.9 else cut)
                tables.execute("UPDATE segments SET content = ? WHERE rowid = ?", (harm, row))
            else:
                tables.execute("DELETE FROM segments WHERE rowid = ?", (row,))
        desk = opened(folder, clock, keep=keep)
        assert {subject: desk.history(subject) for subject in EVERY} == right
        cases += 1
        (kept / DATABASE).write_bytes(whole)
        (kept / DATABASE).chmod(0o600)
    assert uses_the_index(opened(folder, clock, keep=keep))
    record_figure("indexes of lines with a wrong byte or cut short", f"{cases}, every history right")


def test_a_sheet_changed_in_place_under_a_running_desk_is_not_read_by_the_index(
    folder: Path, keep: Path, clock: Clock
) -> None:
    desk = opened(folder, clock, keep=keep)
    sheet = folder / "sheets/2026/2026-02-22.rack.jsonl"
    lines = sheet.read_bytes().splitlines(keepends=True)
    with sheet.open("r+b") as out:
        out.write(b"".join(reversed(lines)))
    assert {subject: desk.history(subject) for subject in EVERY} == {
        subject: by_the_sheets(folder, subject) for subject in EVERY
    }


def test_segments_are_made_one_before_they_are_too_many(folder: Path, keep: Path, clock: Clock) -> None:
    chance = random.Random(11)
    many = []
    for number in range(12):
        desk = opened(folder, clock, keep=keep)
        desk.record(*some_entries(chance, f"x{number}-"))
        assert desk.keep()
        assert desk._cache is not None
        assert desk._cache.index is not None
        many.append(len(desk._cache.index.segments))
        assert desk.history("animal/wattle") == by_the_sheets(folder, "animal/wattle")
        clock.forward(hours=1)
    assert max(many[6:]) < max(many[0], 4) + 14


def an_index(folder: Path, keep: Path, clock: Clock) -> index_module.Segments:
    """The segments with which a start begins."""
    desk = opened(folder, clock, keep=keep)
    assert desk._cache is not None
    assert desk._cache.index is not None
    return desk._cache.index.segments


def test_a_save_with_nothing_new_leaves_the_index_as_it_is(folder: Path, keep: Path, clock: Clock) -> None:
    before = an_index(folder, keep, clock)
    assert opened(folder, clock, keep=keep).keep()
    assert an_index(folder, keep, clock) == before


@pytest.mark.parametrize(("more", "made"), [(0, True), (1, False)])
def test_what_is_new_is_made_a_segment_when_it_is_worth_one(
    folder: Path, keep: Path, clock: Clock, monkeypatch: pytest.MonkeyPatch, more: int, made: bool
) -> None:
    before = an_index(folder, keep, clock)
    desk = opened(folder, clock, keep=keep)
    desk.record(*some_entries(random.Random(2), "x"))
    (sheet,) = folder.glob(f"sheets/*/{clock.now:%Y-%m-%d}.rack.jsonl")
    monkeypatch.setattr(index_module, "WORTH_A_SEGMENT", sheet.stat().st_size + more)
    assert desk.keep()
    after = an_index(folder, keep, clock)
    assert after[: len(before)] == before
    assert (len(after) > len(before)) == made


@pytest.mark.parametrize("harm", ["DELETE FROM segments WHERE part = 7", "DELETE FROM segments"])
def test_an_index_of_which_another_desk_took_something_away_is_made_again(
    folder: Path, keep: Path, clock: Clock, looked_through: list[str], harm: str
) -> None:
    (kept,) = keep.iterdir()
    desk = opened(folder, clock, keep=keep)
    with database(kept) as tables:
        tables.execute(harm)
    assert desk.keep()
    again = opened(folder, clock, keep=keep)
    for subject in EVERY:
        assert again.history(subject) == by_the_sheets(folder, subject)
    assert looked_through == []


def of_size(size: int) -> index_module.Segment:
    return index_module.Segment(size, [], size, [])


def test_small_segments_are_made_one_when_they_are_more_than_three() -> None:
    half = index_module.SEGMENT_BYTES // 2
    large, small = of_size(half + 1), of_size(half)
    assert index_module._without_small((large, small, small, small)) == (large, small, small, small)
    assert index_module._without_small((large, small, small, small, small)) == (large,)
    assert index_module._without_small((large, large, large, large)) == (large, large, large, large)


class _Refusing(index_module.IndexBuilder):
    """Its disk is full at the second sheet, then no more."""

    tries = 0

    def add(self, span: Span, lines: Lines) -> None:
        type(self).tries += 1
        if self.tries == 2:
            raise Doubtful("the disk is full")
        super().add(span, lines)


def test_when_the_disk_does_not_take_the_index_no_part_of_it_is_used(
    folder: Path, tmp_path: Path, clock: Clock, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(index_module, "IndexBuilder", _Refusing)
    monkeypatch.setattr(_Refusing, "tries", 0)
    desk = opened(folder, clock, keep=tmp_path / "cache")
    assert _Refusing.tries == 2, "it is not tried again"
    assert not uses_the_index(desk)
    for subject in EVERY:
        assert desk.history(subject) == by_the_sheets(folder, subject)


def test_where_no_database_can_be_begun_all_is_read_without_an_index(folder: Path) -> None:
    asked: list[str] = []

    def begin() -> Store:
        asked.append("begin")
        raise OSError("no place")

    indexing = index_module.Indexing(begin)
    sheets = Sheets(folder, "reader")
    for part in sheets.read_through():
        indexing.add(sheets, part)
    assert asked == ["begin"]
    assert indexing.end() == ()


def test_an_index_whose_last_part_cannot_be_written_is_none(
    folder: Path, tmp_path: Path, clock: Clock, monkeypatch: pytest.MonkeyPatch
) -> None:
    def full(*_: object) -> None:
        raise Doubtful("the disk is full")

    monkeypatch.setattr(index_module, "SEGMENT_BYTES", 1 << 30)
    monkeypatch.setattr(Store, "add_segment", full)
    desk = opened(folder, clock, keep=tmp_path / "cache")
    assert not uses_the_index(desk)
    assert desk.history("animal/wattle") == by_the_sheets(folder, "animal/wattle")


@pytest.mark.parametrize("more", [0, 1])
def test_colonies_worth_an_index_get_one_and_smaller_ones_do_without(
    folder: Path, tmp_path: Path, clock: Clock, monkeypatch: pytest.MonkeyPatch, more: int
) -> None:
    size = sum(path.stat().st_size for path in folder.glob("sheets/*/*.jsonl"))
    monkeypatch.setattr(index_module, "WORTH_A_SEGMENT", size + more)
    desk = opened(folder, clock, keep=tmp_path / "cache")
    assert uses_the_index(desk) == (more == 0)
