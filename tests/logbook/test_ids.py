"""Ids sort by the moment of writing, to the millisecond."""

from __future__ import annotations

from datetime import UTC, datetime, timedelta

from rounds.logbook.rows import id_of

START = datetime(2038, 1, 19, 20, 30, 52, tzinfo=UTC)


def test_each_millisecond_sorts_behind_the_one_before_whatever_the_salt() -> None:
    ids = [id_of(START + timedelta(milliseconds=ms), salt=0x1FFFFFF - ms) for ms in range(3000)]
    assert ids == sorted(ids)
    assert len({id[:9] for id in ids}) == 3000
