"""Whatever is asked of the sheets, TinyDB's queries find what a plain look at each entry finds."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import date, timedelta
from pathlib import Path

import msgspec
from hypothesis import given
from hypothesis import strategies as st

from rounds.desk.find import Found, find
from rounds.desk.reader import Reader
from rounds.logbook.conditions import Conditions, Figure, figure_names, folded
from rounds.logbook.entries import KINDS, BehaviourSeen, ConditionSeen, Corrected, EggCheckDone, Entry
from rounds.rules.default import default_house
from rounds.rules.settings import Settings
from rounds.sheets.store import Sheets
from tests.any_entries import SUBJECTS, entries
from tests.hostile.hostile import HOSTILE
from tests.notation import VIENNA, at, logbook
from tests.sheets.memory_disk import HookedDisk, MemoryDisk
from tests.sheets.saves import NOWHERE

NOTES = (*HOSTILE.values(), "dusty", "DUSTY sand", "Ärger", "A\u0308rger", "")
SETTINGS = Settings(name="Quandong shed", zone=VIENNA, house=default_house(VIENNA))
LAST = date(2026, 3, 10)


def reader(sheets: Sheets) -> Reader:
    return Reader(NOWHERE, SETTINGS, sheets, clock=lambda: at("2026-12-31 12:00"))


def found(sheets: Sheets, wanted: Conditions) -> list[Found]:
    return [one for step in find(reader(sheets), wanted) for one in step.found]


def every_seen(entry: Entry) -> set[str]:
    """The signs and behaviours that an entry says were seen."""
    if isinstance(entry, BehaviourSeen):
        return {entry.behaviour}
    if isinstance(entry, ConditionSeen):
        return set(entry.signs)
    return set(entry.present) if isinstance(entry, EggCheckDone) else set()


def numbers_in(value: object) -> tuple[int | float, ...]:
    """What a figure is compared with: a number, or each of several; of a logger's readings one is enough."""
    every = value if isinstance(value, tuple) else (value,)
    return tuple(one for one in every if isinstance(one, int | float) and not isinstance(one, bool))


def fulfils(entry: Entry, wanted: Conditions) -> bool:
    """The plain look."""
    every = {name: getattr(entry, name) for name in entry.__struct_fields__}
    numbers = {name: numbers_in(one) for name, one in every.items()}
    texts = [folded(one) for name, one in every.items() if isinstance(one, str) and name not in NO_WORDS]
    return (
        (not wanted.kinds or entry.kind in wanted.kinds)
        and set(wanted.subjects) <= set(entry.subjects())
        and (not wanted.by or folded(entry.by) == folded(wanted.by))
        and (wanted.first is None or entry.at.date() >= wanted.first)
        and (wanted.last is None or entry.at.date() <= wanted.last)
        and all(any(folded(words) in text for text in texts) for words in wanted.words)
        and all(seen in every_seen(entry) for seen in wanted.seen)
        and all(
            any(figure.holds(one) for name in figure.members_of(entry.kind) for one in numbers.get(name, ()))
            for figure in wanted.figures
        )
    )


#: Members that name something: an id, a subject, a word out of a list.
NO_WORDS = {
    *("id", "kind", "by", "about", "name", "tag", "matter", "level", "desk", "hand_over", "replaces", "instead"),
    *("place", "to_", "box", "mate", "sire", "dam", "toward", "clutch", "into", "sex", "food", "extent", "care"),
    *("behaviour", "body", "look", "found", "walk", "state"),
}
_DAYS = st.none() | st.dates(min_value=date(2025, 12, 25), max_value=LAST)
_FIGURES = st.builds(
    lambda name, sign, value: Figure(name, figure_names()[name], sign, value),
    st.sampled_from(sorted(figure_names())),
    st.sampled_from(["<", "<=", ">", ">=", "="]),
    st.sampled_from([0.0, 1.0, 12.0, 30.0, 300.0]),
)
_SUBJECTS = st.sampled_from([one for sort in SUBJECTS.values() for one in sort])
_MANY = st.builds(
    Conditions,
    kinds=st.lists(st.sampled_from(sorted(KINDS)), max_size=2).map(tuple),
    subjects=st.lists(_SUBJECTS, max_size=2).map(tuple),
    by=st.sampled_from(["", "AK", "em"]),
    first=_DAYS,
    last=_DAYS,
    words=st.lists(st.sampled_from(["dusty", "ärger", "sand", "\x1b[2J", "}"]), max_size=1).map(tuple),
    figures=st.lists(_FIGURES, max_size=1).map(tuple),
    seen=st.lists(st.sampled_from(["lethargy", "digging", "nest digging", "gaping"]), max_size=1).map(tuple),
)
#: Two alone find something more often than all together.
_TWO = st.tuples(_MANY, st.permutations(Conditions._fields)).map(
    lambda drawn: drawn[0]._replace(**{name: Conditions._field_defaults[name] for name in drawn[1][2:]})
)
CONDITIONS = (_MANY | _TWO).filter(lambda wanted: wanted != Conditions())


@st.composite
def written(draw: st.DrawFn) -> Sequence[tuple[date, Entry]]:
    """Entries with the day of their sheet: some on the day they were seen, some late; corrections at the end."""
    told: list[tuple[date, Entry]] = []
    every = {entry.id: entry for entry in draw(entries())}
    for entry in every.values():
        if isinstance(entry, Corrected):
            wrong = every.get(entry.replaces)
            if wrong is None or isinstance(wrong, Corrected):
                continue
            entry = msgspec.structs.replace(entry, about=wrong.about, also=wrong.subjects()[1:])
        noted = msgspec.structs.replace(
            entry, note=draw(st.sampled_from(NOTES)), by=draw(st.sampled_from(["AK", "EM"]))
        )
        late = draw(st.sampled_from([0, 0, 0, 1, 40]))
        day = LAST if isinstance(entry, Corrected) else min(LAST, entry.at.date() + timedelta(days=late))
        told.append((day, noted))
    return told


@given(written(), CONDITIONS)
def test_what_is_found_is_what_a_plain_look_finds_newest_first_and_corrected_marked(
    told: Sequence[tuple[date, Entry]], wanted: Conditions
) -> None:
    sheets = Sheets(NOWHERE, "rack", MemoryDisk())
    for day, entry in told:
        sheets.append([entry], day)
    every = [entry for _, entry in told]
    answers = {entry.replaces: entry for entry in every if isinstance(entry, Corrected)}
    expected = sorted((one for one in every if fulfils(one, wanted)), key=lambda one: one.key, reverse=True)
    assert [one.entry for one in found(sheets, wanted)] == expected
    on_all = [one.corrected.replaces for one in found(sheets, wanted) if one.corrected]
    assert set(on_all) == {one.id for one in expected if one.id in answers}


PAGE = """
    2026-03-01 AK
    08:00  b3      enclosure_set_up  name=B3
    08:01  wattle  arrived  name=Wattle place=b3
    2026-03-10 AK
    08:00  wattle  weighed  grams=410
    2026-03-20 EM
    08:00  wattle  weighed  grams=420
"""


def on_their_days(folder: Path, page: str) -> Sheets:
    sheets = Sheets(folder, "rack")
    for entry in logbook(page):
        sheets.append([entry], entry.at.date())
    return sheets


def test_a_late_note_is_found_on_the_day_it_was_seen(tmp_path: Path) -> None:
    sheets = on_their_days(tmp_path, PAGE)
    (late,) = logbook("2026-03-10 EM\n19:00 wattle ate how=refused")
    sheets.append([msgspec.structs.replace(late, id="late", written=at("2026-03-25 08:00"))], date(2026, 3, 25))
    day = date(2026, 3, 10)
    assert [one.entry.kind for one in found(sheets, Conditions(first=day, last=day))] == ["ate", "weighed"]


def test_a_period_opens_no_sheet_from_before_it(tmp_path: Path) -> None:
    on_their_days(tmp_path, PAGE)
    opened: list[str] = []

    def hear(name: str, path: str) -> None:
        if name == "open":
            opened.append(path.rpartition("/")[2])

    sheets = Sheets(tmp_path, "rack", HookedDisk(str(tmp_path), hear))
    found(sheets, Conditions(first=date(2026, 3, 15)))
    assert opened == ["2026-03-20.rack.jsonl"]


def test_an_entry_copied_to_another_sheet_is_found_once(tmp_path: Path) -> None:
    sheets = on_their_days(tmp_path, PAGE)
    path = next(tmp_path.rglob("2026-03-10*"))
    for name in ("2026-03-12.rack.jsonl", "copy of the rack.jsonl"):
        (path.parent / name).write_bytes(path.read_bytes())
    kinds = [one.entry.id for one in found(sheets, Conditions(kinds=("weighed",)))]
    assert kinds == ["20260320-00003", "20260310-00002"]


def test_what_lies_ahead_of_the_clock_is_not_found(tmp_path: Path) -> None:
    sheets = on_their_days(tmp_path, PAGE + "    2027-02-01 AK\n    08:00 wattle weighed grams=999\n")
    assert [one.entry.id for one in found(sheets, Conditions(kinds=("weighed",)))] == [
        "20260320-00003",
        "20260310-00002",
    ]


def test_a_period_to_the_ends_of_the_calendar_finds_all_of_it(tmp_path: Path) -> None:
    sheets = on_their_days(tmp_path, PAGE)
    both = ["20260320-00003", "20260310-00002"]
    for first, last in ((date.min, None), (None, date.max), (date.min, date.max), (date.min, date(2026, 3, 20))):
        wanted = Conditions(kinds=("weighed",), first=first, last=last)
        assert [one.entry.id for one in found(sheets, wanted)] == both


def test_a_copy_named_after_a_day_that_is_in_no_calendar_is_searched_too(tmp_path: Path) -> None:
    sheets = on_their_days(tmp_path, PAGE)
    path = next(tmp_path.rglob("2026-03-10*"))
    path.rename(path.with_name("2026-02-31.rack.jsonl"))
    assert [one.entry.id for one in found(sheets, Conditions(kinds=("weighed",)))] == [
        "20260320-00003",
        "20260310-00002",
    ]
