"""A reading of all passes over most old entries, and comes to what the fold of every entry comes to."""

from __future__ import annotations

import tempfile
from collections.abc import Iterator
from datetime import date, datetime, timedelta
from pathlib import Path

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from rounds.cache.state import StateBuilder
from rounds.desk.colony_file import load
from rounds.desk.desk import Desk
from rounds.logbook import rows
from rounds.logbook.entries import Ate, Cleaned, Corrected, Entry, Fed, MatingSeen, Moved, Weighed
from rounds.sheets.store import Sheets
from rounds.standing import fold as fold_module
from rounds.standing.fold import fold
from tests.conftest import examples
from tests.desks.laptops import Clock, colony

NOW = Clock("2026-03-12 07:00").now
KINDS = (Weighed, Fed, Ate, Cleaned, Moved, MatingSeen)
ANIMALS = ("animal/wattle", "animal/karri")
PLACES = ("enclosure/b3", "enclosure/c1")


@pytest.fixture(autouse=True, scope="module")
def _small_pages() -> Iterator[None]:
    """Pages that keep two entries of a kind, and a reserve of one: three fill them."""
    with pytest.MonkeyPatch.context() as patch:
        for kind in KINDS:
            patch.setattr(kind, "keep", 2)
        patch.setattr(Weighed, "a_day", 0)  # of Ate two days, two entries of each
        patch.setattr(Ate, "a_day", 2)
        patch.setattr(fold_module, "RESERVE", 1)
        patch.setattr("rounds.standing.page.RESERVE", 1)
        yield


@st.composite
def seen(compose: st.DrawFn, number: int) -> tuple[Entry, date]:
    """An entry of these kinds, and the day on whose sheet it stands: most often its own, sometimes a later one."""
    kind = compose(st.sampled_from(KINDS))
    day = NOW - timedelta(days=compose(st.integers(-1, 9)) * compose(st.sampled_from([1, 1, 100])))
    moment = day + timedelta(minutes=compose(st.integers(-400, 400)))
    late = compose(st.sampled_from([0, 0, 0, 0, 1, 300]))
    about = compose(st.sampled_from(PLACES if kind in (Fed, Cleaned) else ANIMALS))
    fields = {
        Weighed: {"grams": 400.0},
        Ate: {"how": "well"},
        Moved: {"to": compose(st.sampled_from(PLACES))},
        MatingSeen: {"sire": compose(st.sampled_from([None, "animal/karri"]))},
    }.get(kind, {})
    written = min(day + timedelta(days=late), NOW) if late and compose(st.booleans()) else None
    entry = kind(id=f"e{number:03}", at=moment, by="AK", about=about, written=written, **fields)  # type: ignore[arg-type]
    return entry, (day + timedelta(days=late)).date()


@st.composite
def histories(compose: st.DrawFn) -> list[tuple[Entry, date, str]]:
    """Entries with the day and the desk on whose sheet they stand, some of them corrected, some twice there."""
    found: list[tuple[Entry, date, str]] = []
    for number in range(compose(st.integers(0, 60))):
        entry, day = compose(seen(number))
        desk = compose(st.sampled_from(["rack", "rack", "office"]))
        found.append((entry, day, desk))
        if compose(st.integers(0, 9)) == 0:
            wrong = compose(st.sampled_from(found))[0]
            correction = Corrected(
                id=f"c{number:03}",
                at=max(entry.at, wrong.at),
                by="AK",
                about=wrong.about,
                replaces=wrong.id,
                also=wrong.subjects()[1:],
            )
            found.append((correction, compose(st.sampled_from([day, NOW.date()])), desk))
        if compose(st.integers(0, 19)) == 0:
            found.append((entry, day, compose(st.sampled_from(["rack", "office", "shed"]))))
    return found


def written(folder: Path, history: list[tuple[Entry, date, str]], save: int) -> None:
    """The entries on the sheets of their days, so many in a save."""
    of: dict[tuple[str, date], list[Entry]] = {}
    for entry, day, desk in history:
        of.setdefault((desk, day), []).append(entry)
    for (desk, day), entries in of.items():
        sheets = Sheets(folder, desk)
        for start in range(0, len(entries), save):
            sheets.append(entries[start : start + save], day)
        sheets.close()


def desk_on(folder: Path) -> Desk:
    desk = Desk(folder, load(folder), Sheets(folder, "reader"), clock=Clock(NOW))
    desk.read()
    return desk


@settings(max_examples=examples(50), suppress_health_check=[HealthCheck.too_slow, HealthCheck.data_too_large])
@given(histories(), st.integers(1, 3))
def test_a_reading_of_all_is_the_fold_of_every_entry(history: list[tuple[Entry, date, str]], save: int) -> None:
    with tempfile.TemporaryDirectory() as place:
        folder = colony(Path(place) / "colony", "")
        written(folder, history, save)
        desk = desk_on(folder)
        every = Sheets(folder, "reader").read()
    counting = [entry for entry in every if entry.at <= desk._limit()]
    # Corrections first, so that what they replace takes up no room.
    everything = fold(sorted(counting, key=lambda entry: not isinstance(entry, Corrected)))
    assert not everything.short
    assert desk.standing == everything
    assert desk.standing.digest() == everything.digest()
    assert dict(desk.standing.places) == dict(everything.places)
    assert desk.standing.latest == max(
        (page.latest for page in everything.pages.values() if page.latest), default=None
    )
    newest = max((entry.at for entry in counting), default=None)
    assert (desk.newest.at if desk.newest else None) == newest
    since = NOW - timedelta(hours=48)
    assert {entry.id for entry in desk.recent} == {
        entry.id for entry in counting if (entry.written or entry.at) >= since
    }
    assert {entry.id for entry in desk.ahead} <= {entry.id for entry in every if entry.at > desk._limit()}


def weighings(first: datetime, many: int, mark: str = "w") -> list[Entry]:
    return [
        Weighed(
            id=f"{mark}{number:03}", at=first + timedelta(minutes=number), by="AK", about=ANIMALS[0], grams=400.0
        )
        for number in range(many)
    ]


OLD = NOW - timedelta(days=400)


@pytest.fixture
def folder(tmp_path: Path) -> Path:
    """An animal whose page has its fill of weights, and an old sheet with more of them."""
    made = colony(tmp_path / "colony", "")
    new = [(entry, NOW.date() - timedelta(days=9), "rack") for entry in weighings(NOW - timedelta(days=9), 30)]
    old = [(entry, OLD.date(), "rack") for entry in weighings(OLD, 6, "o")]
    written(made, [*new, *old], 1)
    return made


def old_sheet(folder: Path) -> Path:
    return folder / f"sheets/{OLD.year}/{OLD.date().isoformat()}.rack.jsonl"


def passed_over(folder: Path, monkeypatch: pytest.MonkeyPatch) -> int:
    """How many entries a reading of all lets go as soon as they are decoded."""
    many = 0
    sift = StateBuilder.sift

    def counting(builder: StateBuilder, entries: list[Entry]) -> list[Entry]:
        nonlocal many
        kept = sift(builder, entries)
        many += len(entries) - len(kept)
        return kept

    monkeypatch.setattr(StateBuilder, "sift", counting)
    desk_on(folder)
    return many


def test_what_a_full_page_does_not_keep_is_passed_over(folder: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    assert passed_over(folder, monkeypatch) == 6


def signed(body: bytes) -> bytes:
    """A line with the check of its bytes, whatever they say."""
    from zlib import crc32

    return body + b',"crc":"%08x"}\n' % crc32(body)


FIRST = b'{"kind":"weighed","id":"x1","at":"2025-02-05T07:00:00+01:00","by":"AK","about":"animal/wattle"'


@pytest.mark.parametrize(
    ("line", "says"),
    [
        (signed(FIRST + b',"grams":"heavy"'), "cannot be read by this version"),
        (signed(FIRST.replace(b"weighed", b"scanned") + b',"grams":400.0'), "does not know ('scanned')"),
        (signed(FIRST.replace(b"wattle", b"../../etc") + b',"grams":400.0'), "no subject of ours"),
        (signed(FIRST.replace(b"T07", b"T27") + b',"grams":400.0'), "cannot be read by this version"),
        (signed(FIRST + b',"grams":400.0').replace(b"400", b"401"), "was changed after it was written"),
        (b"supper at eight\n", "is no entry of ours"),
    ],
    ids=["value", "kind", "subject", "time", "changed", "foreign"],
)
@pytest.mark.parametrize("place", [0, 3, 6])
def test_a_bad_line_among_those_passed_over_is_reported_as_ever(
    folder: Path, line: bytes, says: str, place: int
) -> None:
    sheet = old_sheet(folder)
    lines = sheet.read_bytes().splitlines(keepends=True)
    sheet.write_bytes(b"".join([*lines[:place], line, *lines[place:]]))
    desk, at_once = desk_on(folder), Sheets(folder, "reader")
    at_once.read()
    assert list(desk.troubles) == at_once.troubles
    assert [trouble.line for trouble in desk.troubles] == [place + 1]
    assert says in desk.troubles[0].what


def test_what_stands_twice_among_those_passed_over_is_reported_as_ever(folder: Path) -> None:
    again = old_sheet(folder).with_name(f"{OLD.date().isoformat()}.office.jsonl")
    lines = old_sheet(folder).read_bytes().splitlines(keepends=True)
    other = rows.line_of(Weighed(id="o005", at=OLD, by="AK", about=ANIMALS[0], grams=1.0)) + b"\n"
    again.write_bytes(lines[2] + lines[2] + other)
    desk, at_once = desk_on(folder), Sheets(folder, "reader")
    at_once.read()
    assert list(desk.troubles) == at_once.troubles
    assert len(desk.troubles) == 2


def test_one_page_full_of_old_entries_does_not_keep_the_others_from_being_passed_over(
    folder: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """A keeper who enters the weights of a season long ago."""
    ago = NOW - timedelta(days=3000)
    late = [
        Weighed(id=f"l{n}", at=ago + timedelta(days=n), by="AK", about=ANIMALS[1], written=NOW, grams=300.0)
        for n in range(30)
    ]
    written(folder, [(entry, NOW.date(), "rack") for entry in late], 30)
    assert passed_over(folder, monkeypatch) == 6


def test_an_entry_on_an_old_sheet_that_is_dated_later_is_not_passed_over(folder: Path) -> None:
    """A desk whose clock ran behind for a day and was put right: the sheet of that day holds newer entries."""
    newer = weighings(NOW - timedelta(days=8), 2, "n")
    written(folder, [(entry, OLD.date() - timedelta(days=1), "rack") for entry in newer], 1)
    assert desk_on(folder).standing.page(ANIMALS[0]).of(Weighed) == tuple(newer)


def test_an_old_entry_on_a_full_page_that_was_written_just_now_is_among_the_recent_ones(folder: Path) -> None:
    full = weighings(NOW - timedelta(days=5), 9, "f")
    late = Weighed(id="late", at=OLD, written=NOW, by="AK", about=ANIMALS[0], grams=300.0)
    written(folder, [(entry, NOW.date(), "office") for entry in full] + [(late, NOW.date(), "rack")], 1)
    assert [entry.id for entry in desk_on(folder).recent] == ["late"]
