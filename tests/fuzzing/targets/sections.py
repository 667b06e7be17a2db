"""Sections, pages and segments with right digests and any content: doubted, or read; never a traceback."""

from __future__ import annotations

import contextlib
import sqlite3
from datetime import timedelta
from pathlib import Path
from typing import Final

import msgspec

from rounds.cache.cache import Cache, Loaded
from rounds.cache.index import Index, Segment
from rounds.cache.store import DATABASE, SHORT_DIGEST, Store, digest
from rounds.cache.trust import Doubtful
from rounds.sheets.positions import Span
from rounds.standing.page import Page
from tests.cache.test_cache import opened
from tests.desks.laptops import Clock, colony, note, stop, weight
from tests.fuzzing.feed import Feed
from tests.fuzzing.targets import Taker
from tests.fuzzing.targets.harm import harmed

_NAMES: Final = ("desk", "marks", "pages", "cards", "walks", "places", "orders", "newest", "recent", "index")
_SUBJECT: Final = "animal/wattle"


def prepared(folder: Path) -> Taker:
    """Takes choices of what a section, a page and a segment hold."""
    room, clock = colony(folder / "colony"), Clock("2026-03-10 07:00")
    desk = opened(room, clock, keep=None)
    desk.record(weight("wattle", 400), note("dusty"), stop("b3", "2026-03-10"))
    desk.sheets.close()
    clock.forward(hours=1)
    assert opened(room, clock, keep=folder / "cache").keep()
    cache = Cache(room, folder / "cache")
    with contextlib.closing(sqlite3.connect(cache.folder / DATABASE)) as tables:
        kept = dict(tables.execute("SELECT name, content FROM sections"))
        page = dict(tables.execute("SELECT subject, content FROM pages"))[_SUBJECT]
    store = Store(cache.folder)
    root, _ = store.sections()

    def take(content: bytes) -> None:
        feed = Feed(content)
        what = feed.number(len(_NAMES) + 1)
        if what == len(_NAMES):
            _any_segments(feed)
            return
        sections = {name: kept[name] for name in _NAMES}
        if what > len(_NAMES):
            forged = harmed(page, feed)
            known_by = digest(forged, SHORT_DIGEST)
            store.add_pages([(_SUBJECT, known_by, forged)])
            pages = msgspec.msgpack.decode(kept["pages"], type=dict[str, bytes])
            sections["pages"] = msgspec.msgpack.encode({**pages, _SUBJECT: known_by})
        else:
            name = _NAMES[what]
            sections[name] = feed.rest() if feed.is_one_in(4) else harmed(kept[name], feed)
        store.replace_sections(root.program, root.colony, sections)
        found = cache.load(clock(), clock() + timedelta(hours=1), Page, looking_back=False)
        if found is not None:
            _looked_at(found, cache)
        if what > len(_NAMES):
            store.remove([(_SUBJECT, known_by)], [])

    return take


def _looked_at(found: Loaded, cache: Cache) -> None:
    """What every screen asks of a standing that was loaded."""
    standing = found.state.standing
    for subject in list(standing.pages):
        standing.pages[subject].shown()
    with contextlib.suppress(Doubtful):
        if (index := cache.index) is not None:
            index.places(_SUBJECT)


class _InMemory:
    """A store that gives what it was made with."""

    def __init__(self, part: bytes) -> None:
        self._part = part

    def segment(self, segment: int, part: int, known_by: bytes) -> bytes:
        return self._part


def _any_segments(feed: Feed) -> None:
    part = feed.some() if feed.is_one_in(2) else msgspec.msgpack.encode({_SUBJECT: feed.some(32)})
    if feed.is_one_in(2):
        encoded = feed.rest()
    else:
        spans = [Span(feed.pick(("a", "b")), feed.number(9), feed.number(9)) for _ in range(feed.number(3))]
        digests = [b""] * feed.pick((256, 0, 255))
        encoded = msgspec.msgpack.encode([Segment(1, spans, 9, digests)] * feed.number(2))
    index = Index(_InMemory(part), encoded)  # type: ignore[arg-type]
    with contextlib.suppress(Doubtful):
        index.covered.keys()
    with contextlib.suppress(Doubtful):
        index.places(_SUBJECT)
