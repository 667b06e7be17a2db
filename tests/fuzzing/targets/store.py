"""The file of the cache, harmed: what is read of it is what was written, or it is doubted."""

from __future__ import annotations

import contextlib
from pathlib import Path
from typing import Final

from rounds.cache.snapshot import Sections
from rounds.cache.store import DATABASE, SHORT_DIGEST, Store, digest
from rounds.cache.trust import Doubtful
from tests.fuzzing.feed import Feed
from tests.fuzzing.targets import Taker
from tests.fuzzing.targets.harm import harmed

_SECTIONS: Final = {name: f"{name} as it was kept ".encode() * 30 for name in ("desk", "marks", "pages", "recent")}
_PAGES: Final = {f"animal/a{number}": f"page {number} ".encode() * 90 for number in range(24)}
_PARTS: Final = [f"part {number} ".encode() * 40 for number in range(16)]


def prepared(folder: Path) -> Taker:
    """Takes choices of harm to a small cache."""
    digests = {subject: digest(content, SHORT_DIGEST) for subject, content in _PAGES.items()}
    store = Store.begun(folder)
    store.add_pages((subject, digests[subject], content) for subject, content in _PAGES.items())
    store.add_segment(7, _PARTS)
    store.replace_sections("this program", "this colony", _SECTIONS)
    store.close()
    whole = (folder / DATABASE).read_bytes()

    def take(content: bytes) -> None:
        for left_behind in folder.glob(f"{DATABASE}-*"):  # what SQLite takes for a save broken off
            left_behind.unlink()
        (folder / DATABASE).write_bytes(harmed(whole, Feed(content)))
        with contextlib.suppress(Doubtful):
            _read(Store(folder), digests)

    return take


def _read(store: Store, digests: dict[str, bytes]) -> None:
    try:
        with contextlib.suppress(Doubtful):
            sections = Sections(*store.sections())
            for name, kept in _SECTIONS.items():
                with contextlib.suppress(Doubtful):
                    assert sections.checked(name) == kept
        for subject, known_by in digests.items():
            with contextlib.suppress(Doubtful):
                assert store.page(subject, known_by) in (_PAGES[subject], None)
        for number, part in enumerate(_PARTS):
            with contextlib.suppress(Doubtful):
                assert store.segment(7, number, digest(part, SHORT_DIGEST)) == part
        for listed in (store.pages, store.segments):
            with contextlib.suppress(Doubtful):
                listed()
        with contextlib.suppress(Doubtful):
            store.replace_sections("this program", "this colony", {"desk": b"new"})
            assert Sections(*store.sections()).checked("desk") == b"new"
    finally:
        store.close()
