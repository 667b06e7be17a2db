"""What a desk takes for recent, ahead or newest, on both sides of each boundary, in whatever order it is read."""

from __future__ import annotations

from datetime import datetime, timedelta

import msgspec
import pytest

from rounds.cache.state import Recent, State, StateBuilder
from rounds.logbook import rows
from rounds.logbook.entries import Entry, HandedOver
from tests.notation import at
from tests.sheets.saves import entry, ids, moment

SINCE = at("2026-03-10 08:00")
LIMIT = at("2026-03-12 08:00")
SECOND = timedelta(seconds=1)


def seen(number: int, moment: datetime, written: datetime | None = None) -> Entry:
    """The entry of a number at a moment of its own, written down later when told."""
    return msgspec.structs.replace(entry(number), at=moment, written=written)


def given_at(ms: int, moment: datetime) -> Entry:
    """An entry whose id was given in this ms."""
    digits = "0123456789abcdefghjkmnpqrstvwxyz"
    id = "".join(digits[ms >> 5 * place & 31] for place in reversed(range(9))) + "-test"
    assert rows.ms_of(id) == ms
    return msgspec.structs.replace(entry(0), id=id, at=moment)


@pytest.mark.parametrize("many", [3, 16, 17, 40])
def test_recent_entries_stand_by_time_and_each_once(many: int) -> None:
    recent = Recent()
    assert recent.add([entry(5)]) == [entry(5)]
    new = recent.add(entry(number) for number in reversed(range(many + 1)))
    assert ids(new) == ids(entry(number) for number in range(many + 1) if number != 5 or many < 5)
    assert recent.entries == sorted({one.id: one for one in [entry(5), *new]}.values(), key=lambda one: one.at)
    assert recent.add([entry(0), entry(5)]) == []
    assert len(recent.entries) == len(set(ids(recent.entries)))


def test_shifts_of_an_earlier_run_and_of_this_one_stand_by_time_each_once() -> None:
    shifts = [HandedOver(id=f"h-{number}", at=moment(number), by="AK", about="room") for number in range(3)]
    recent = Recent(lambda kinds: [shifts[0], shifts[2]] if kinds else [shifts[0], entry(1), shifts[2]])
    recent.add([shifts[1], shifts[2], entry(9)])
    assert recent.shifts == shifts
    assert ids(recent.entries) == ids([*shifts, entry(1), entry(9)])
    assert recent.shifts == shifts


def test_an_entry_counts_up_to_the_limit_and_is_kept_ahead_after_it() -> None:
    state = State()
    there, ahead = seen(1, LIMIT), seen(2, LIMIT + SECOND)
    assert state.counting([there, ahead], LIMIT) == [there]
    assert state.ahead == [ahead]
    assert state.counting([ahead], LIMIT) == []
    assert state.ahead == [ahead], "once"
    assert state.counting([*state.ahead], LIMIT + SECOND) == [ahead]
    assert state.ahead == []


def test_looking_back_keeps_nothing_ahead() -> None:
    state = State()
    assert state.counting([seen(1, LIMIT + SECOND)], LIMIT, keep=False) == []
    assert state.ahead == []


def test_recent_is_what_was_written_since_not_what_was_seen_since() -> None:
    state = State()
    before, first, late = seen(1, SINCE - SECOND), seen(2, SINCE), seen(3, SINCE - 99 * SECOND, written=SINCE)
    early = seen(4, SINCE - 99 * SECOND, written=SINCE - SECOND)
    state.remember([before, first, late, early], SINCE, LIMIT)
    assert ids(state.recent.entries) == ids([first, late])
    assert state.newest == first
    assert not state.odd


def test_what_was_written_by_a_clock_far_ahead_is_not_recent_and_is_not_kept() -> None:
    right, ahead = seen(1, SINCE, written=LIMIT), seen(2, SINCE, written=LIMIT + SECOND)
    at_the_limit, state = State(), State()
    at_the_limit.remember([right], SINCE, LIMIT)
    assert not at_the_limit.odd
    state.remember([right, ahead], SINCE, LIMIT)
    assert state.odd
    assert state.recent.entries == [right]
    looking_back = State()
    looking_back.remember([ahead], SINCE, None)
    assert not looking_back.odd
    assert looking_back.recent.entries == [ahead]


def test_the_newest_stays_when_an_older_one_is_heard_of() -> None:
    state = State()
    state.remember([seen(1, SINCE)], SINCE, LIMIT)
    state.remember([seen(2, SINCE - SECOND), seen(3, SINCE)], SINCE, LIMIT)
    assert state.newest == seen(1, SINCE)


def test_the_next_id_comes_after_every_id_that_was_given_up_to_now() -> None:
    now = int(LIMIT.timestamp() * 1000)
    state = State()
    state.remember([given_at(now - 5, SINCE)], SINCE, LIMIT)
    assert state.last_ms == now - 4
    state.remember([given_at(now - 9, SINCE)], SINCE, LIMIT)
    assert state.last_ms == now - 4, "an older one does not put it back"
    state.remember([given_at(now - 4, SINCE)], SINCE, LIMIT)
    assert state.last_ms == now - 3
    state.remember([given_at(now, SINCE)], SINCE, LIMIT)
    assert state.last_ms == now + 1
    state.remember([given_at(now + 1, SINCE)], SINCE, LIMIT)
    assert state.last_ms == now + 1, "by a clock that ran ahead"
    state.remember([given_at(now + 1, SINCE)], SINCE, None)
    assert state.last_ms == now + 1, "it is known already"


def test_looking_back_an_id_given_later_is_reckoned_with() -> None:
    later = int(LIMIT.timestamp() * 1000) + 50
    state = State()
    state.remember([given_at(later, SINCE)], SINCE, None)
    assert state.last_ms == later + 1


# A reading of all sheets


def waterings(since: datetime, many: int = 60) -> list[Entry]:
    """So many of one dish that its page has its fill."""
    return [seen(3 * number, since + number * SECOND) for number in range(many)]


def building(*, looking_back: bool = False) -> StateBuilder:
    """A reading that has come to the sheets of two days ago, newest first."""
    builder = StateBuilder(SINCE, LIMIT, looking_back=looking_back)
    builder.add(waterings(SINCE + timedelta(hours=5)))
    return builder


def test_of_older_sheets_only_what_is_old_and_written_at_its_time_is_passed_over() -> None:
    old = [seen(900, SINCE - SECOND)]
    assert building().sift(old) == []
    for kept in ([seen(900, SINCE)], [seen(900, SINCE - SECOND, written=LIMIT)], [*old, seen(903, SINCE)]):
        assert building().sift(kept) == kept


@pytest.mark.parametrize(
    ("one", "recent"),
    [
        (seen(900, SINCE), True),
        (seen(900, SINCE - SECOND), False),
        (seen(900, SINCE - SECOND, written=SINCE), True),
        (seen(900, SINCE - SECOND, written=SINCE - SECOND), False),
    ],
)
def test_an_old_sheet_may_hold_what_is_recent(one: Entry, recent: bool) -> None:
    builder = building()
    builder.add([one])
    state = builder.end()
    assert (one in state.recent.entries) == recent
    assert state.newest == waterings(SINCE + timedelta(hours=5))[-1], "read later, not seen later"


def test_the_newest_of_sheets_that_are_all_old_is_known_whichever_is_read_first() -> None:
    days = [[seen(3 * number, SINCE - number * timedelta(days=1))] for number in range(1, 4)]
    for order in (days, days[::-1]):
        builder = StateBuilder(SINCE, LIMIT, looking_back=False)
        builder.add([])
        for day in order:
            builder.add(day)
        assert builder.end().newest == days[0][0]


@pytest.mark.parametrize("looking_back", [False, True])
def test_what_is_dated_after_the_limit_is_reported_unless_one_looks_back(looking_back: bool) -> None:
    builder = building(looking_back=looking_back)
    builder.add([seen(900, LIMIT), seen(903, LIMIT + SECOND)])
    state = builder.end()
    assert ids(state.ahead) == ([] if looking_back else ids([entry(903)]))
    assert state.newest == seen(900, LIMIT)


@pytest.mark.parametrize("looking_back", [False, True])
def test_a_reading_of_all_doubts_a_clock_unless_one_looks_back(looking_back: bool) -> None:
    builder = building(looking_back=looking_back)
    builder.add([seen(900, SINCE, written=LIMIT + SECOND)])
    assert builder.end().odd != looking_back
