"""What was kept is never anything but what the sheets say: it is what a reading of all gives, or it is dropped."""

from __future__ import annotations

import errno
import fcntl
import gc
import os
import random
import shutil
import sqlite3
import subprocess
import sys
import tempfile
from collections.abc import Callable, Iterator
from contextlib import closing, contextmanager
from datetime import date, datetime, timedelta
from pathlib import Path
from typing import Any

import msgspec
import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from rounds.cache import cache as cache_module
from rounds.cache import store as store_module
from rounds.cache import trust as trust_module
from rounds.cache.cache import Cache
from rounds.cache.snapshot import Sections
from rounds.cache.store import DATABASE, Root, Store, alone, digest
from rounds.cache.trust import Doubtful
from rounds.desk.colony_file import load, write_new
from rounds.desk.desk import Desk
from rounds.logbook.drafts import draft
from rounds.logbook.entries import Corrected, EnclosureSetUp, Entry, HandedOver, StopWalked
from rounds.sheets import watch
from rounds.sheets.parse import Reading
from rounds.sheets.store import Sheets
from rounds.standing.enclosure import walking_order
from rounds.standing.pages import StoredPages
from tests.any_entries import START, entries
from tests.conftest import RecordFigure, examples
from tests.desks.laptops import Clock, colony, note, put, stop, weight


@contextmanager
def database(kept: Path) -> Iterator[sqlite3.Connection]:
    """The tables of a cache, to be looked at or harmed."""
    with closing(sqlite3.connect(kept / DATABASE, isolation_level=None)) as tables:
        yield tables


EVENING = START + timedelta(days=60, hours=18)


def opened(folder: Path, clock: Clock, *, keep: Path | None, at_once: bool = False, name: str = "rack") -> Desk:
    """A desk that goes on from what lies in `keep`, if it holds; without one it reads everything."""
    sheets = Sheets(folder, name)
    desk = Desk(
        folder, load(folder), sheets, clock=clock, keeper="AK", cache=None if keep is None else Cache(folder, keep)
    )
    if not desk.load_from_cache(at_once=at_once):
        desk.read()
    return desk


def doubts(desk: Desk) -> bool:
    """Whether it has found out that the sheets are not what the cache was made from."""
    return desk.is_stale


def is_kept(desk: Desk) -> bool:
    """Whether its pages come from a cache."""
    return isinstance(desk.standing.pages, StoredPages)


def everything(desk: Desk, walks: set[tuple[date, str]] = frozenset()) -> dict[str, Any]:  # type: ignore[assignment]
    """All that a desk knows."""
    standing = desk.standing
    return {
        "walks": {walk: standing.register.walked(*walk) for walk in sorted(walks)},
        "order": walking_order(standing),
        "places": dict(standing.places),
        "cards": {subject: standing.card(subject) for subject in sorted(standing.pages)},
        "recent": desk.recent,
        "shifts": desk.recent_shifts,
        "ahead": sorted(entry.id for entry in desk.ahead),
        "newest": desk.newest.at if desk.newest else None,
        "troubles": list(desk.troubles),
        "digest": standing.digest(),
        "pages": {subject: page.shown() for subject, page in standing.pages.items() if page.shown()},
        "dead": {subject: page.dead for subject, page in standing.pages.items()},
        "short": standing.short,
    }


@st.composite
def steps(compose: st.DrawFn) -> list[tuple[list[Entry], str, int, bool]]:
    """What several runs find new: entries, on whose sheets, days late, and whether the run keeps what it knows."""
    found: list[tuple[list[Entry], str, int, bool]] = []
    for number in range(compose(st.integers(2, 4))):
        written = [
            msgspec.structs.replace(entry, id=f"{number}{entry.id}", **_replaced(entry, compose, number))
            for entry in compose(entries())
        ]
        desk = compose(st.sampled_from(["rack", "office"]))
        found.append((written, desk, compose(st.integers(0, 40)), compose(st.booleans())))
    return found


def _replaced(entry: Entry, compose: st.DrawFn, number: int) -> dict[str, str]:
    if not isinstance(entry, Corrected):
        return {}
    return {"replaces": f"{compose(st.integers(0, number))}{entry.replaces}"}


@settings(max_examples=examples(30), suppress_health_check=[HealthCheck.too_slow, HealthCheck.data_too_large])
@given(steps(), st.booleans())
def test_going_on_from_what_was_kept_is_reading_everything(
    runs: list[tuple[list[Entry], str, int, bool]], at_once: bool
) -> None:
    with tempfile.TemporaryDirectory() as home:
        folder, keep = Path(home, "colony"), Path(home, "cache")
        write_new(folder, "Quandong shed", "Europe/Vienna")
        clock = Clock(EVENING)
        walks: set[tuple[date, str]] = set()
        for written, name, late, keeping in runs:
            Sheets(folder, name).append(written, (EVENING - timedelta(days=late)).date())
            walks |= {(entry.day, entry.walk) for entry in written if isinstance(entry, StopWalked)}
            desk = opened(folder, clock, keep=keep, at_once=at_once)
            desk.news()
            assert not doubts(desk)
            read = opened(folder, clock, keep=None)
            assert everything(desk, walks) == everything(read, walks)
            assert read.standing.latest is None or desk.standing.latest >= read.standing.latest  # type: ignore[operator]
            if keeping:
                assert desk.keep()
                again = opened(folder, clock, keep=keep, at_once=at_once)
                assert is_kept(again)
                assert everything(again, walks) == everything(desk, walks)
            clock.forward(hours=7)


@pytest.fixture
def clock() -> Clock:
    return Clock("2026-03-12 07:00")


@pytest.fixture
def folder(tmp_path: Path) -> Path:
    """A small colony with two days written by two desks."""
    made = colony(tmp_path / "colony")
    early = Clock("2026-03-10 07:00")
    for name in ("rack", "office"):
        desk = opened(made, early, keep=None, name=name)
        for day in range(2):
            early.set(f"2026-03-{10 + day} {'07' if name == 'rack' else '16'}:00")
            for number in range(6):
                desk.record(weight("wattle", 400 + number), note(f"note {number}"))
                early.forward(minutes=7)
            desk.record(stop("b3", f"2026-03-{10 + day}"))
        desk.sheets.close()
    return made


@pytest.fixture
def keep(tmp_path: Path) -> Path:
    return tmp_path / "cache"


@pytest.fixture
def kept(folder: Path, keep: Path, clock: Clock) -> Path:
    """The folder in which the colony's cache lies."""
    desk = opened(folder, clock, keep=keep)
    assert desk.keep()
    (found,) = keep.iterdir()
    return found


def truth(folder: Path, clock: Clock) -> dict[str, Any]:
    return everything(opened(folder, clock, keep=None))


@pytest.mark.usefixtures("kept")
def test_a_start_reads_what_changed_and_one_in_turn(
    folder: Path, keep: Path, clock: Clock, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(watch, "_SETTLED_NS", -1)  # they were not written just now
    assert opened(folder, clock, keep=keep).keep()
    reads: list[str] = []

    class Watched(Sheets):
        def _marked(self, path: str, *rest: Any, **more: Any) -> Reading:
            reads.append(path)
            return super()._marked(path, *rest, **more)

    later = opened(folder, clock, keep=None, name="office")
    later.record(weight("sedge", 380))
    desk = Desk(folder, load(folder), Watched(folder, "rack"), clock=clock, keeper="AK", cache=Cache(folder, keep))
    assert desk.load_from_cache(at_once=True)
    assert reads[0] == "sheets/2026/2026-03-12.office.jsonl"
    assert len(reads) <= 2
    assert everything(desk) == truth(folder, clock)


def test_no_wrong_byte_is_ever_taken_for_true(
    folder: Path, keep: Path, kept: Path, clock: Clock, record_figure: RecordFigure
) -> None:
    right = truth(folder, clock)
    files = [path for path in kept.iterdir() if path.stat().st_size]
    whole = {path: path.read_bytes() for path in files}
    chance = random.Random(7)
    cases = 0
    for path, content in whole.items():
        places = {*range(0, min(len(content), 64)), *(chance.randrange(len(content)) for _ in range(400))}
        for place in sorted(places):
            harmed = bytearray(content)
            harmed[place] ^= 1 << chance.randrange(8)
            path.write_bytes(harmed)
            assert everything(opened(folder, clock, keep=keep)) == right, (path.name, place)
            cases += 1
        for size in chance.sample(range(len(content)), 12):
            path.write_bytes(content[:size])
            assert everything(opened(folder, clock, keep=keep)) == right, (path.name, size)
            cases += 1
        path.write_bytes(content)
    assert is_kept(opened(folder, clock, keep=keep))
    record_figure("caches with a wrong byte or cut short", f"{cases}, none of them taken for true")


def test_a_damaged_page_is_made_again_and_kept_so(folder: Path, keep: Path, kept: Path, clock: Clock) -> None:
    with database(kept) as tables:
        tables.execute("UPDATE pages SET content = CAST(replace(content, 'note 3', 'NOTE 3') AS BLOB)")
    desk = opened(folder, clock, keep=keep)
    assert is_kept(desk)
    assert everything(desk) == truth(folder, clock)
    assert desk.keep()
    with database(kept) as tables:
        assert tables.execute("SELECT count(*) FROM pages WHERE instr(content, 'NOTE')").fetchone() == (0,)
    assert is_kept(opened(folder, clock, keep=keep))


def test_a_command_that_met_a_damaged_page_leaves_none_to_the_next(
    folder: Path, keep: Path, kept: Path, clock: Clock
) -> None:
    with database(kept) as tables:
        tables.execute("DELETE FROM pages WHERE subject = 'animal/wattle'")
        tables.execute("UPDATE pages SET content = CAST(replace(content, 'note 3', 'NOTE 3') AS BLOB)")
    desk = opened(folder, clock, keep=keep)
    assert everything(desk) == truth(folder, clock)
    desk.close()
    again = opened(folder, clock, keep=keep)
    assert is_kept(again)
    assert everything(again) == truth(folder, clock)
    assert not Cache(folder, keep).is_damaged
    with database(kept) as tables:
        assert tables.execute("SELECT count(*) FROM pages WHERE subject = 'animal/wattle'").fetchone() == (1,)


def test_a_database_that_another_holds_for_ever_is_waited_for_once(
    folder: Path, keep: Path, kept: Path, clock: Clock, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(store_module, "_PATIENCE", 0.05)
    desk = opened(folder, clock, keep=keep)
    assert is_kept(desk)
    with database(kept) as tables:
        tables.execute("BEGIN EXCLUSIVE")
        let_go: list[Store] = []
        close = Store.close

        def noted(store: Store) -> None:
            let_go.append(store)
            close(store)

        monkeypatch.setattr(Store, "close", noted)
        desk.standing.page("animal/wattle")
        assert let_go, "each page would wait for it"
        assert everything(desk) == truth(folder, clock)
    assert desk.keep()
    assert everything(opened(folder, clock, keep=keep)) == truth(folder, clock)


def test_a_database_whose_tables_have_names_that_are_no_text_is_made_again(
    folder: Path, keep: Path, kept: Path, clock: Clock
) -> None:
    """SQLite names the table in its error, and Python cannot read that name."""
    desk = opened(folder, clock, keep=keep)
    assert is_kept(desk)
    whole = (kept / DATABASE).read_bytes()
    harmed = whole.replace(b"CREATE TABLE pages", b"CREATE TABLE\xdepages")
    assert harmed != whole
    (kept / DATABASE).write_bytes(harmed)
    with pytest.raises(Doubtful):
        Store(kept)
    desk.record(weight("wattle", 433))
    assert desk.keep()
    again = opened(folder, clock, keep=keep)
    assert is_kept(again)
    assert everything(again) == truth(folder, clock)


def test_a_page_of_an_earlier_save_is_not_taken_for_the_newest(
    folder: Path, keep: Path, kept: Path, clock: Clock
) -> None:
    """As a disk leaves it that lost one write of several."""
    with database(kept) as tables:
        earlier = tables.execute("SELECT content FROM pages WHERE subject = 'animal/wattle'").fetchone()
    desk = opened(folder, clock, keep=keep)
    desk.record(weight("wattle", 433))
    assert desk.keep()
    with database(kept) as tables:
        tables.execute("UPDATE pages SET content = ? WHERE subject = 'animal/wattle'", earlier)
    assert everything(opened(folder, clock, keep=keep)) == truth(folder, clock)


def test_sections_of_two_saves_are_not_taken_together(folder: Path, keep: Path, kept: Path, clock: Clock) -> None:
    with database(kept) as tables:
        earlier = tables.execute("SELECT name, content FROM sections WHERE name <> 'root'").fetchall()
    desk = opened(folder, clock, keep=keep)
    desk.record(weight("wattle", 433), stop("b3", "2026-03-12"))
    assert desk.keep()
    for name, content in earlier:
        with database(kept) as tables:
            (newer,) = tables.execute("SELECT content FROM sections WHERE name = ?", (name,)).fetchone()
            tables.execute("UPDATE sections SET content = ? WHERE name = ?", (content, name))
        assert is_kept(opened(folder, clock, keep=keep)) == (newer == content), name
        with database(kept) as tables:
            tables.execute("UPDATE sections SET content = ? WHERE name = ?", (newer, name))
    assert is_kept(opened(folder, clock, keep=keep))


def _another_program(_: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(cache_module, "__version__", "0.0.1")


def _others_may_write(kept: Path, _: pytest.MonkeyPatch) -> None:
    (kept / DATABASE).chmod(0o666)


def _others_may_write_the_folder(kept: Path, _: pytest.MonkeyPatch) -> None:
    kept.chmod(0o777)


def _written_by_another_user(_: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    me = os.geteuid()
    monkeypatch.setattr(os, "geteuid", lambda: me + 1)


def _a_link(kept: Path, _: pytest.MonkeyPatch) -> None:
    (kept / DATABASE).rename(kept / "elsewhere")
    (kept / DATABASE).symlink_to("elsewhere")


def _a_second_name(kept: Path, _: pytest.MonkeyPatch) -> None:
    (kept / "elsewhere").hardlink_to(kept / DATABASE)


def _a_link_for_a_folder(kept: Path, _: pytest.MonkeyPatch) -> None:
    elsewhere = kept.with_name("elsewhere")
    kept.rename(elsewhere)
    kept.symlink_to(elsewhere)


def _gone(kept: Path, _: pytest.MonkeyPatch) -> None:
    (kept / DATABASE).unlink()


def _no_database(kept: Path, _: pytest.MonkeyPatch) -> None:
    (kept / DATABASE).write_bytes(b"something else\n" * 700)


def _another_database(kept: Path, _: pytest.MonkeyPatch) -> None:
    with database(kept) as tables:
        tables.execute("DROP TABLE sections")


def _on_a_disk_without_locks(_: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    def refused(_handle: int, _how: int) -> None:
        raise OSError(errno.ENOLCK, "No locks available")

    monkeypatch.setattr(fcntl, "flock", refused)


def _on_a_disk_that_gives_a_lock_twice(_: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(fcntl, "flock", lambda _handle, _how: None)


@pytest.mark.parametrize(
    "doubt",
    [
        _another_program,
        _others_may_write,
        _others_may_write_the_folder,
        _written_by_another_user,
        _a_link,
        _a_second_name,
        _a_link_for_a_folder,
        _gone,
        _no_database,
        _another_database,
        _on_a_disk_without_locks,
        _on_a_disk_that_gives_a_lock_twice,
    ],
)
def test_in_doubt_the_sheets_are_read(
    folder: Path,
    keep: Path,
    kept: Path,
    clock: Clock,
    monkeypatch: pytest.MonkeyPatch,
    doubt: Callable[[Path, pytest.MonkeyPatch], None],
) -> None:
    doubt(kept, monkeypatch)
    desk = opened(folder, clock, keep=keep)
    assert not is_kept(desk)
    assert everything(desk) == truth(folder, clock)


@pytest.mark.parametrize("room", ["logbook", "logbook/entries", "sheets", "standing", "cache", "desk"])
def test_what_other_code_has_worked_out_is_another_programs(
    room: str, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    rounds = Path(cache_module.__file__).parents[1]
    there = tmp_path / "rounds"
    shutil.copytree(rounds, there, ignore=shutil.ignore_patterns("__pycache__"))
    monkeypatch.setattr(cache_module, "__file__", str(there / "cache" / "cache.py"))
    before = cache_module.program()
    for file in (there / room).glob("*.py"):
        status = file.stat()
        os.utime(file, ns=(status.st_atime_ns, status.st_mtime_ns + 1))
        assert cache_module.program() != before, file.name
        os.utime(file, ns=(status.st_atime_ns, status.st_mtime_ns))
    assert cache_module.program() == before


def test_what_was_kept_of_one_colony_is_not_taken_for_another(
    folder: Path, keep: Path, kept: Path, clock: Clock, tmp_path: Path
) -> None:
    other = tmp_path / "other"
    shutil.copytree(folder, other)
    cache = Cache(other, keep)
    shutil.copytree(kept, cache.folder)
    assert not is_kept(opened(other, clock, keep=keep))


@pytest.mark.usefixtures("kept")
def test_where_a_folder_of_sheets_is_gone_at_the_start_all_is_read(
    folder: Path, keep: Path, clock: Clock, tmp_path: Path
) -> None:
    (folder / "sheets").rename(tmp_path / "elsewhere")
    desk = opened(folder, clock, keep=keep, at_once=True)
    assert not is_kept(desk)
    assert everything(desk) == truth(folder, clock)


def _a_folder_others_may_write(kept: Path) -> None:
    kept.chmod(0o777)


def _a_file_of_it_that_cannot_be_taken_away(kept: Path) -> None:
    (kept / f"{DATABASE}-journal").mkdir()


@pytest.mark.parametrize("lie", [_a_folder_others_may_write, _a_file_of_it_that_cannot_be_taken_away])
def test_where_no_cache_can_be_begun_nothing_is_kept_and_nothing_stopped(
    folder: Path, keep: Path, kept: Path, clock: Clock, lie: Callable[[Path], None]
) -> None:
    (kept / DATABASE).unlink()
    lie(kept)
    desk = opened(folder, clock, keep=keep)
    assert not desk.keep()
    assert everything(desk) == truth(folder, clock)


def test_a_disk_that_refuses_a_second_lock_with_an_error_is_not_trusted(
    folder: Path, keep: Path, kept: Path, clock: Clock, monkeypatch: pytest.MonkeyPatch
) -> None:
    taken: list[Path] = []
    take = trust_module.lock

    def once(path: Path) -> int:
        if taken:
            raise OSError(errno.ENOLCK, "No locks available")
        taken.append(path)
        return take(path)

    monkeypatch.setattr(trust_module, "lock", once)
    with pytest.raises(Doubtful, match="no locks"):
        Store(kept)
    monkeypatch.undo()
    assert is_kept(opened(folder, clock, keep=keep))


def test_of_a_save_that_the_database_refuses_nothing_is_written(kept: Path) -> None:
    store = Store(kept)
    before = store.pages()
    for refused in (object(), 1 << 70):
        pages: list[Any] = [("animal/new", b"12345678", b"a page"), ("animal/newer", b"12345678", refused)]
        with pytest.raises(Doubtful):
            store.add_pages(pages)
    assert store.pages() == before, "half a save is none"
    store.add_pages([("animal/new", b"12345678", b"a page")])
    assert store.pages() == before | {("animal/new", b"12345678")}


def test_what_was_never_a_root_and_what_is_no_section_are_doubted(kept: Path) -> None:
    store = Store(kept)
    nothing, no_text = msgspec.msgpack.encode(7), msgspec.msgpack.encode(("p", "c", {})).replace(b"p", b"\xff")
    for content in (nothing, no_text):
        with database(kept) as tables:
            tables.execute("UPDATE sections SET content = ? WHERE name = 'root'", (digest(content) + content,))
        with pytest.raises(Doubtful, match="root is damaged"):
            store.sections()
    sections = Sections(Root("p", "c", {"places": digest(nothing)}), {"places": nothing})
    with pytest.raises(Doubtful, match="places cannot be read"):
        sections.decoded("places", dict[str, str])


def test_a_page_that_another_desk_took_away_is_made_again(
    folder: Path, keep: Path, kept: Path, clock: Clock
) -> None:
    desk = opened(folder, clock, keep=keep)
    assert is_kept(desk)
    with database(kept) as tables:
        tables.execute("DELETE FROM pages")
    assert everything(desk) == truth(folder, clock)
    assert desk._cache is not None
    assert desk._cache._snapshot is not None
    again = desk._cache._snapshot.page
    assert again("animal/wattle") is again("animal/wattle"), "once is enough"


@pytest.mark.usefixtures("kept")
def test_a_page_of_which_all_was_taken_back_is_kept_too(folder: Path, keep: Path, clock: Clock) -> None:
    desk = opened(folder, clock, keep=keep)
    assert is_kept(desk)
    desk.record(draft(EnclosureSetUp, "enclosure/z9", name="Z9"))
    desk.take_back()
    assert desk.standing.page("enclosure/z9").latest is None
    assert desk.keep()
    again = opened(folder, clock, keep=keep)
    assert is_kept(again)
    assert everything(again) == truth(folder, clock)


@pytest.mark.usefixtures("kept")
def test_a_colony_put_back_as_it_was_is_known_again_and_another_one_is_not(
    folder: Path, keep: Path, clock: Clock, tmp_path: Path
) -> None:
    shutil.copytree(folder, tmp_path / "backup")
    shutil.rmtree(folder)
    shutil.copytree(tmp_path / "backup", folder)
    assert is_kept(opened(folder, clock, keep=keep))
    assert everything(opened(folder, clock, keep=keep)) == truth(folder, clock)
    (folder / "sheets/2026/2026-03-10.office.jsonl").unlink()
    desk = opened(folder, clock, keep=keep)
    assert not is_kept(desk)
    assert everything(desk) == truth(folder, clock)


def changed_in_place(sheet: Path) -> None:
    """As a program does that writes into the file: its folder does not tell."""
    content = sheet.read_bytes()
    lines = content.splitlines(keepends=True)
    with sheet.open("r+b") as out:
        out.write(b"".join([*lines[:-3], lines[-1], lines[-3], lines[-2]]))
    os.utime(sheet, ns=(1, 1))


def cut(sheet: Path) -> None:
    """Its last line is gone."""
    lines = sheet.read_bytes().splitlines(keepends=True)
    os.truncate(sheet, sum(map(len, lines[:-2])))


@pytest.mark.usefixtures("kept")
@pytest.mark.parametrize("harm", [changed_in_place, cut, Path.unlink])
def test_a_sheet_changed_behind_the_cache_is_found_out(
    folder: Path, keep: Path, clock: Clock, harm: Callable[[Path], None]
) -> None:
    # So many days later that this sheet is not among those looked at before the first stop.
    for number in range(20):
        put(folder, [_noted(f"later {number}", clock.now + timedelta(days=number))], desk="rack")
    clock.forward(days=21)
    os.utime(folder / "sheets/2026/2026-03-10.rack.jsonl", ns=(10**18, 10**18))
    for path in (folder / "sheets", folder / "sheets/2026"):
        os.utime(path, ns=(10**18, 10**18))
    assert opened(folder, clock, keep=keep).keep()
    at_once = opened(folder, clock, keep=keep, at_once=True)
    assert is_kept(at_once)
    old = folder / "sheets/2026/2026-03-10.rack.jsonl"
    folder_time = old.parent.stat()
    harm(old)
    os.utime(old.parent, ns=(folder_time.st_atime_ns, folder_time.st_mtime_ns))
    looked = opened(folder, clock, keep=keep)
    assert everything(looked) == truth(folder, clock), "a plain command looks before it answers"
    first = opened(folder, clock, keep=keep, at_once=True)
    assert not doubts(first)
    assert first.news() == frozenset()
    assert doubts(first)
    assert not first.keep()
    first.read()
    assert not doubts(first)
    assert everything(first) == truth(folder, clock)
    assert first.keep()
    assert everything(opened(folder, clock, keep=keep, at_once=True)) == truth(folder, clock)


def _noted(text: str, moment: datetime) -> Entry:
    return note(text).entry(text.replace(" ", "-"), moment, "EM")


@pytest.mark.usefixtures("kept")
def test_a_run_whose_sheets_shook_keeps_nothing(folder: Path, keep: Path, clock: Clock) -> None:
    desk = opened(folder, clock, keep=keep)
    cut(folder / "sheets/2026/2026-03-11.office.jsonl")
    for _ in range(2):  # at the first look it may be just being copied
        desk.news()
    assert not desk.keep()


def test_entries_dated_ahead_count_when_their_time_has_come(folder: Path, keep: Path, clock: Clock) -> None:
    put(folder, [_noted("ahead", clock.now + timedelta(hours=5))])
    desk = opened(folder, clock, keep=keep)
    assert [entry.id for entry in desk.ahead] == ["ahead"]
    assert desk.keep()
    clock.forward(hours=4, minutes=30)
    later = opened(folder, clock, keep=keep)
    assert is_kept(later)
    assert later.ahead == []
    assert everything(later) == truth(folder, clock)


@pytest.mark.usefixtures("kept")
def test_with_a_clock_put_back_nothing_kept_is_used(folder: Path, keep: Path, clock: Clock) -> None:
    clock.forward(minutes=-10)
    assert not is_kept(opened(folder, clock, keep=keep))


@pytest.mark.usefixtures("kept")
@pytest.mark.parametrize(("moment", "uses"), [("2026-03-11 09:00", False), ("2026-03-12 23:00", True)])
def test_looking_back_reads_the_sheets_and_looking_at_today_need_not(
    folder: Path, keep: Path, clock: Clock, moment: str, uses: bool
) -> None:
    until = Clock(moment).now
    kept_until = Desk(
        folder, load(folder), Sheets(folder, "x"), clock=clock, until=until, cache=Cache(folder, keep)
    )
    assert kept_until.load_from_cache(at_once=False) == uses
    if uses:
        read = Desk(folder, load(folder), Sheets(folder, "x"), clock=clock, until=until)
        read.read()
        assert everything(kept_until) == everything(read)


@pytest.mark.parametrize(("seconds", "uses"), [(-1, False), (0, True)])
def test_looking_back_to_the_newest_entry_need_not_read_the_sheets(
    folder: Path, keep: Path, clock: Clock, seconds: int, uses: bool
) -> None:
    """The clock of the other laptop is two minutes ahead: its newest entry counts at both."""
    newest = clock.now + timedelta(minutes=2)
    put(folder, [_noted("by the other laptop", newest)])
    assert opened(folder, clock, keep=keep).keep()
    until = newest + timedelta(seconds=seconds)
    looking = Desk(folder, load(folder), Sheets(folder, "x"), clock=clock, until=until, cache=Cache(folder, keep))
    assert looking.load_from_cache(at_once=False) == uses


def test_looking_back_with_entries_dated_ahead_reads_the_sheets(folder: Path, keep: Path, clock: Clock) -> None:
    put(folder, [_noted("ahead", clock.now + timedelta(hours=5))])
    assert opened(folder, clock, keep=keep).keep()
    until = clock.now + timedelta(hours=9)
    looking, read = (
        Desk(folder, load(folder), Sheets(folder, "x"), clock=clock, until=until, cache=cache)
        for cache in (Cache(folder, keep), None)
    )
    assert not looking.load_from_cache(at_once=True)
    looking.read()
    read.read()
    assert everything(looking) == everything(read)
    assert "ahead" in {entry.id for entry in looking.recent}


@pytest.mark.parametrize(("seconds", "recent"), [(0, True), (1, False)])
def test_what_was_kept_as_recent_is_recent_for_48_hours(
    folder: Path, keep: Path, clock: Clock, seconds: int, recent: bool
) -> None:
    late = msgspec.structs.replace(_noted("late", clock.now - timedelta(days=5)), written=clock.now)
    handed = draft(HandedOver, "room").entry("handed", clock.now, "AK")
    put(folder, [_noted("seen now", clock.now), late, handed])
    assert opened(folder, clock, keep=keep).keep()
    clock.forward(hours=48, seconds=seconds)
    desk = opened(folder, clock, keep=keep)
    assert is_kept(desk)
    assert [entry.id for entry in desk.recent_shifts] == ["handed"] * recent
    assert {entry.id for entry in desk.recent} == ({"seen-now", "late", "handed"} if recent else set())
    assert everything(desk) == truth(folder, clock)


def walked_stops(desk: Desk) -> dict[str, set[str]]:
    """On which stops somebody stood, by the day of the morning's walk."""
    days = [date(2026, 3, day) for day in range(9, 15)]
    return {str(day): set(desk.standing.register.walked(day, "morning")) for day in days}


@pytest.mark.usefixtures("kept")
def test_yesterdays_walk_is_kept_and_the_one_before_is_read_from_the_pages(
    folder: Path, keep: Path, clock: Clock
) -> None:
    desk = opened(folder, clock, keep=keep)
    register = desk.standing.register
    assert {str(day) for day, _ in register.walks_since(date.min)} == {"2026-03-11"}
    assert walked_stops(desk) == walked_stops(opened(folder, clock, keep=None))
    assert walked_stops(desk)["2026-03-10"] == {"enclosure/b3"}


@pytest.mark.usefixtures("kept")
def test_a_walk_is_known_after_a_save_by_a_clock_put_back_a_day(folder: Path, keep: Path, clock: Clock) -> None:
    clock.forward(days=1)
    assert opened(folder, clock, keep=keep).keep()
    desk = opened(folder, clock, keep=keep)
    assert is_kept(desk)
    assert desk.standing.register.walks_since(date.min) == {}, "the day before yesterday's is let go"
    clock.forward(days=-1)
    assert desk.keep()
    again = opened(folder, clock, keep=keep)
    assert is_kept(again)
    assert walked_stops(again) == walked_stops(opened(folder, clock, keep=None))
    assert walked_stops(again)["2026-03-11"] == {"enclosure/b3"}


def test_a_start_at_once_tells_what_is_wrong_with_a_sheet_that_has_not_changed(
    folder: Path, keep: Path, clock: Clock
) -> None:
    with (folder / "sheets/2026/2026-03-10.rack.jsonl").open("ab") as sheet:
        sheet.write(b"hello\n")
    for path in (folder / "sheets", folder / "sheets/2026"):
        os.utime(path, ns=(10**18, 10**18))
    assert opened(folder, clock, keep=keep).keep()
    at_once = opened(folder, clock, keep=keep, at_once=True)
    assert is_kept(at_once)
    assert at_once.troubles == opened(folder, clock, keep=None).troubles != []


def test_reading_everything_says_how_far_it_is_and_can_be_broken_off(
    folder: Path, keep: Path, clock: Clock
) -> None:
    desk = opened(folder, clock, keep=keep)
    before = everything(desk)
    told: list[tuple[int, int]] = []
    desk.read(lambda done, of: told.append((done, of)))
    assert told == [(number, 5) for number in range(1, 6)]
    reading = desk.reading()
    next(reading)
    assert everything(desk) == before, "until it is done all stays as it was"
    desk.record(weight("sedge", 377))
    reading.close()
    assert doubts(desk)
    assert not desk.keep(), "what is half read is not kept"
    desk.read()
    assert not doubts(desk)
    assert everything(desk) == truth(folder, clock)


def test_what_is_written_while_all_is_read_anew_counts(folder: Path, clock: Clock) -> None:
    desk = opened(folder, clock, keep=None)
    reading = desk.reading()
    next(reading)
    desk.record(weight("sedge", 377))
    for _ in reading:
        desk.record(weight("sedge", 378))
    assert everything(desk) == truth(folder, clock)
    desk.record(weight("sedge", 379))
    assert desk.news() == frozenset()
    assert everything(desk) == truth(folder, clock)


def test_two_desks_of_one_user_share_what_they_keep(folder: Path, keep: Path, kept: Path, clock: Clock) -> None:
    rack = opened(folder, clock, keep=keep, name="rack")
    office = opened(folder, clock, keep=keep, name="office")
    rack.record(weight("wattle", 411))
    assert rack.keep()
    office.news()
    office.record(weight("wattle", 412), weight("sedge", 388))
    assert office.keep()
    rack.news()
    rack.record(note("still here"))
    assert rack.keep()
    for desk in (rack, office):
        desk.news()
        assert everything(desk) == truth(folder, clock)
    with database(kept) as tables:
        assert tables.execute("SELECT max(n) FROM (SELECT count(*) n FROM pages GROUP BY subject)").fetchone() == (
            2,
        )
    assert everything(opened(folder, clock, keep=keep)) == truth(folder, clock)


def test_the_pages_kept_do_not_pile_up(folder: Path, keep: Path, kept: Path, clock: Clock) -> None:
    sizes = []
    for number in range(30):
        desk = opened(folder, clock, keep=keep)
        assert is_kept(desk)
        desk.record(weight("wattle", 400 + number % 9), note(f"again {number}"))
        assert desk.keep()
        sizes.append((kept / DATABASE).stat().st_size)
        clock.forward(minutes=9)
    assert max(sizes) < 4 * min(sizes)
    assert everything(opened(folder, clock, keep=keep)) == truth(folder, clock)


@pytest.mark.usefixtures("kept")
def test_a_desk_goes_on_from_what_it_loaded_while_others_save(folder: Path, keep: Path, clock: Clock) -> None:
    rack = opened(folder, clock, keep=keep, name="rack")
    for number in range(3):
        office = opened(folder, clock, keep=keep, name="office")
        office.record(weight("wattle", 420 + number))
        assert office.keep()
    rack.news()
    assert everything(rack) == truth(folder, clock)
    assert rack.keep()
    assert everything(opened(folder, clock, keep=keep)) == truth(folder, clock)


@pytest.mark.usefixtures("kept")
def test_while_another_desk_saves_nothing_is_saved(folder: Path, keep: Path, clock: Clock) -> None:
    desk = opened(folder, clock, keep=keep)
    assert desk._cache is not None
    with alone(desk._cache.folder):
        assert not desk.keep()
        assert is_kept(opened(folder, clock, keep=keep)), "and what is there can be read"
    assert desk.keep()


def test_killed_at_any_write_of_a_save_what_was_kept_before_or_nothing_is_there(
    folder: Path, keep: Path, kept: Path, clock: Clock, monkeypatch: pytest.MonkeyPatch, record_figure: RecordFigure
) -> None:
    class Killed(BaseException):
        pass

    def killing(method: Callable[..., Any], before: bool) -> Callable[..., Any]:
        def call(*values: Any) -> Any:
            if before:
                raise Killed
            method(*values)
            raise Killed

        return call

    cases = 0
    for name in ("add_pages", "replace_sections", "remove"):
        for before in (True, False):
            desk = opened(folder, clock, keep=keep)
            desk.record(weight("wattle", 440 + cases), note(f"before {name}"))
            with monkeypatch.context() as patch:
                patch.setattr(Store, name, killing(getattr(Store, name), before))
                with pytest.raises(Killed):
                    desk.keep()
            found = opened(folder, clock, keep=keep)
            assert is_kept(found)
            assert everything(found) == truth(folder, clock)
            cases += 1
    record_figure("saves of the cache broken off", f"{cases}, what is kept was right after each")
    assert kept.exists()


def test_killed_within_a_write_the_half_of_it_is_taken_back(
    folder: Path, keep: Path, kept: Path, clock: Clock
) -> None:
    """The database and its journal, as they lie on the disk in the middle of a transaction."""
    with database(kept) as tables:
        tables.execute("PRAGMA cache_size = 1")
        tables.execute("BEGIN IMMEDIATE")
        tables.execute("UPDATE pages SET content = zeroblob(length(content) + 40000)")
        halves = {path.name: path.read_bytes() for path in kept.iterdir()}
        tables.execute("ROLLBACK")
    assert f"{DATABASE}-journal" in halves
    assert halves[DATABASE] != (kept / DATABASE).read_bytes()
    for name, content in halves.items():
        (kept / name).write_bytes(content)
        (kept / name).chmod(0o600)
    desk = opened(folder, clock, keep=keep)
    assert is_kept(desk)
    assert everything(desk) == truth(folder, clock)


def test_a_full_disk_keeps_nothing_and_harms_nothing(
    folder: Path, keep: Path, kept: Path, clock: Clock, monkeypatch: pytest.MonkeyPatch
) -> None:
    begun = Store.__init__

    def full(store: Store, where: Path) -> None:
        begun(store, where)
        pages = (kept / DATABASE).stat().st_size // 4096
        store._open.execute(f"PRAGMA max_page_count = {pages}")

    desk = opened(folder, clock, keep=keep)
    desk.record(*(note(f"{number} " + "long " * 400) for number in range(40)))
    with monkeypatch.context() as patch:
        patch.setattr(Store, "__init__", full)
        assert not desk.keep()
    assert everything(opened(folder, clock, keep=keep)) == truth(folder, clock)
    assert desk.keep()


def test_the_cache_of_an_earlier_version_is_taken_away(folder: Path, keep: Path, clock: Clock) -> None:
    cache = Cache(folder, keep)
    cache.folder.mkdir(parents=True)
    for name in ("standing", "standing.4711", "pages-0123456789ab", "lines-0123456789ab"):
        (cache.folder / name).write_bytes(b"rounds kept 1\n\0\0")
    desk = opened(folder, clock, keep=keep)
    assert not is_kept(desk)
    assert desk.keep()
    assert {path.name for path in cache.folder.iterdir()} == {DATABASE, "lock"}
    assert is_kept(opened(folder, clock, keep=keep))


def test_a_start_without_a_cache_pays_nothing_for_the_database(folder: Path, keep: Path) -> None:
    code = f"""
import sys
from pathlib import Path
from rounds.cache.cache import Cache
from rounds.cache.store import DATABASE, Store, alone
from rounds.desk.desk import Desk
from rounds.desk.colony_file import load
from rounds.sheets.store import Sheets
folder = Path({str(folder)!r})
desk = Desk(folder, load(folder), Sheets(folder, "rack"), cache=Cache(folder, Path({str(keep)!r})))
assert not desk.load_from_cache(at_once=True)
desk.read()
sys.exit("sqlite3" in sys.modules)
"""
    assert subprocess.run([sys.executable, "-c", code], check=False).returncode == 0


def test_a_cache_that_cannot_be_written_is_done_without(folder: Path, tmp_path: Path, clock: Clock) -> None:
    (tmp_path / "file").write_text("in the way")
    desk = opened(folder, clock, keep=tmp_path / "file")
    assert not desk.keep()
    assert everything(desk) == truth(folder, clock)


def test_a_plain_command_keeps_what_is_a_good_deal_and_a_shift_keeps_all(
    folder: Path, tmp_path: Path, clock: Clock, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setenv("XDG_CACHE_HOME", str(tmp_path / "home"))
    monkeypatch.setenv("XDG_STATE_HOME", str(tmp_path / "state"))
    Desk.open(folder, clock=clock, writing=False).close()
    assert not (tmp_path / "home").exists(), "some lines are read as fast as what is kept"
    desk = Desk.open(folder, clock=clock, keeper="AK")
    desk.close(keeping=True)
    again = Desk.open(folder, clock=clock, keeper="AK", at_once=True)
    assert is_kept(again)
    again.close()
    modes = {path.stat().st_mode & 0o777 for path in (tmp_path / "home").rglob("*") if path.is_file()}
    assert modes == {0o600}, "what a keeper wrote is for nobody else"


def caches_held() -> set[str]:
    """The caches that this process has open: those of other tests may be among them."""
    held = [os.readlink(handle) for handle in Path("/proc/self/fd").glob("*") if handle.is_symlink()]  # noqa: PTH115
    return {path for path in held if DATABASE in path}


@pytest.fixture(autouse=True)
def _no_pack_stays_open() -> Iterator[None]:
    before = caches_held()
    yield
    gc.collect()
    assert caches_held() <= before


def test_every_page_is_kept_however_many_there_are(kept: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(store_module, "_BATCH", 3)
    store = Store(kept)
    pages = store.pages()
    for many in range(9):
        new = [(f"animal/{many}-{one}", digest(b"%d" % one, 8), b"%d" % one) for one in range(many)]
        store.add_pages(iter(new))
        pages |= {(subject, known_by) for subject, known_by, _ in new}
        assert store.pages() == pages
