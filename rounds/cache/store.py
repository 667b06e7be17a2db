"""The file of the cache: a SQLite database of which no wrong byte is ever used.

`sections` hold what is read at a start, `pages` a page for each subject, `segments` the index of lines. The row
`root` of the sections names the digest of every other section; the sections name those of pages and segments.
So what is read is of one and the same save, whatever a lost write, another program or a failing disk did.
"""

from __future__ import annotations

import contextlib
import hashlib
import os
from collections.abc import Iterable, Iterator, Mapping
from itertools import islice
from pathlib import Path
from typing import TYPE_CHECKING, Any, Final

import msgspec

from rounds.cache.trust import Doubtful, check_file, is_folder_of_ours, lock, locks_hold, make_file

if TYPE_CHECKING:
    import sqlite3

DATABASE: Final = "cache.sqlite"
_LOCK: Final = "lock"
#: What the caches of earlier versions consisted of; taken away when a new one is begun.
_EARLIER: Final = ("standing*", "pages-*", "lines-*")
_DIGEST: Final = 16
#: Bytes of the digest of a page or of a part of a segment.
SHORT_DIGEST: Final = 8
#: How long to wait for another desk that is writing just now, in s.
_PATIENCE: Final = 2.0
#: Pages written in one transaction: while one is under way no other desk can read.
_BATCH: Final = 256
_SCHEMA: Final = """
CREATE TABLE sections (name TEXT PRIMARY KEY, content BLOB NOT NULL);
CREATE TABLE pages (subject TEXT, digest BLOB, content BLOB NOT NULL, PRIMARY KEY (subject, digest));
CREATE TABLE segments (segment INTEGER, part INTEGER, content BLOB NOT NULL, PRIMARY KEY (segment, part));
"""


class Root(msgspec.Struct, array_like=True, frozen=True):
    """Whose sections these are, and the digest of each."""

    program: str
    colony: str
    digests: dict[str, bytes]


def digest(content: bytes, size: int = _DIGEST) -> bytes:
    """What a content is known by."""
    # Of the digests that every Python has, the one that processors help with.
    return hashlib.sha256(content, usedforsecurity=False).digest()[:size]


class Store:
    """The database in one folder. Every error of SQLite is `Doubtful`."""

    def __init__(self, folder: Path) -> None:
        """Open it, or raise `Doubtful`."""
        self._database: sqlite3.Connection | None = None
        if not is_folder_of_ours(folder):
            raise Doubtful("there is no folder of ours")
        check_file(folder / DATABASE)
        # SQLite would trust locks that a network disk does not keep.
        if not locks_hold(folder / _LOCK):
            raise Doubtful("the disk keeps no locks")
        # Late: a start that finds no cache pays nothing for it.
        import sqlite3

        with _doubts():
            self._database = sqlite3.connect(
                f"{Path(os.path.abspath(folder)).as_uri()}/{DATABASE}?mode=rw",  # noqa: PTH100 (links stay links)
                uri=True,
                timeout=_PATIENCE,
                isolation_level=None,
                check_same_thread=False,
            )
            # What a power cut takes is found out by the digests, so no write waits for the disk.
            self._database.execute("PRAGMA synchronous = OFF")
            self._database.execute("PRAGMA cache_size = -512")  # KiB: the system keeps what is read again

    @classmethod
    def begun(cls, folder: Path) -> Store:
        """A new one in place of what was there, that of earlier versions too. Raises `OSError`, `Doubtful`."""
        folder.mkdir(mode=0o700, parents=True, exist_ok=True)
        if not is_folder_of_ours(folder):
            raise Doubtful("there is no folder of ours")
        for name in (f"{DATABASE}*", *_EARLIER):
            for path in folder.glob(name):
                path.unlink(missing_ok=True)
        make_file(folder / DATABASE)
        store = cls(folder)
        with _doubts():
            store._open.executescript(_SCHEMA)
        return store

    @property
    def _open(self) -> sqlite3.Connection:
        if self._database is None:
            raise Doubtful("it is closed")
        return self._database

    # Reading

    def sections(self) -> tuple[Root, dict[str, bytes]]:
        """All sections of one save; each is to be held to its digest in the root when it is used."""
        with _doubts():
            found: dict[str, bytes] = dict(self._open.execute("SELECT name, content FROM sections"))
        content = found.pop("root", b"")
        if digest(content[_DIGEST:]) != content[:_DIGEST]:
            raise Doubtful("its root is damaged, or there is none")
        try:
            return msgspec.msgpack.decode(content[_DIGEST:], type=Root), found
        except (msgspec.MsgspecError, ValueError) as error:
            raise Doubtful("its root is damaged") from error

    def page(self, subject: str, known_by: bytes) -> bytes | None:
        """A page; None when it was taken away since, in favour of a newer one. Raises `Doubtful`."""
        query = "SELECT content FROM pages WHERE subject = ? AND digest = ?"
        return self._checked(known_by, query, subject, known_by)

    def segment(self, segment: int, part: int, known_by: bytes) -> bytes:
        """A part of a segment. Raises `Doubtful`."""
        query = "SELECT content FROM segments WHERE segment = ? AND part = ?"
        content = self._checked(known_by, query, segment, part)
        if content is None:
            raise Doubtful("a part of a segment is gone")
        return content

    def _checked(self, known_by: bytes, query: str, *values: Any) -> bytes | None:
        """The content that a query finds, held to its digest; None when there is none. Raises `Doubtful`."""
        try:
            with _doubts():
                found = self._open.execute(query, values).fetchone()
        except Doubtful as doubt:
            if "locked" in str(doubt):  # by a desk that stopped in the middle of it: not to be waited for again
                self.close()
            raise
        if found is None:
            return None
        content = found[0]
        if not isinstance(content, bytes) or digest(content, SHORT_DIGEST) != known_by:
            raise Doubtful("a row is damaged")
        return content

    def pages(self) -> set[tuple[str, bytes]]:
        """The pages there are, each with its digest."""
        with _doubts():
            return set(self._open.execute("SELECT subject, digest FROM pages"))

    def segments(self) -> dict[int, int]:
        """The segments there are, each with the number of its parts."""
        with _doubts():
            return dict(self._open.execute("SELECT segment, count(*) FROM segments GROUP BY segment"))

    # Writing

    def add_pages(self, pages: Iterable[tuple[str, bytes, bytes]]) -> None:
        """Add pages: subject, digest, content."""
        coming = iter(pages)
        while batch := list(islice(coming, _BATCH)):
            with self._transaction() as database:
                database.executemany("INSERT OR REPLACE INTO pages VALUES (?, ?, ?)", batch)

    def add_segment(self, segment: int, parts: Iterable[bytes]) -> None:
        """Add a segment by its parts."""
        with self._transaction() as database:
            rows = ((segment, part, content) for part, content in enumerate(parts))
            database.executemany("INSERT INTO segments VALUES (?, ?, ?)", rows)

    def replace_sections(self, program: str, colony: str, sections: Mapping[str, bytes]) -> None:
        """Put these sections in the place of those that were there, all at once."""
        root = Root(program, colony, {name: digest(content) for name, content in sections.items()})
        content = msgspec.msgpack.encode(root)
        with self._transaction() as database:
            try:
                there = self.sections()[0].digests
            except Doubtful:
                there = {}
            changed = [
                (name, content) for name, content in sections.items() if there.get(name) != root.digests[name]
            ]
            database.executemany(
                "INSERT OR REPLACE INTO sections VALUES (?, ?)", [*changed, ("root", digest(content) + content)]
            )

    def remove(self, pages: Iterable[tuple[str, bytes]], segments: Iterable[int]) -> None:
        """Take away these pages and these segments."""
        with self._transaction() as database:
            database.executemany("DELETE FROM pages WHERE subject = ? AND digest = ?", pages)
            database.executemany("DELETE FROM segments WHERE segment = ?", ((segment,) for segment in segments))

    @contextlib.contextmanager
    def _transaction(self) -> Iterator[sqlite3.Connection]:
        with _doubts():
            database = self._open
            database.execute("BEGIN IMMEDIATE")
            try:
                yield database
                database.execute("COMMIT")
            except BaseException:
                if database.in_transaction:
                    database.execute("ROLLBACK")
                raise

    def close(self) -> None:
        """Let go of the file."""
        if self._database is not None:
            database, self._database = self._database, None
            with contextlib.suppress(Exception):
                database.close()

    def __del__(self) -> None:
        # Standings that are still looked at hold on to it, and no one else says when the last is gone.
        self.close()


@contextlib.contextmanager
def alone(folder: Path) -> Iterator[None]:
    """No other desk of this user writes the cache meanwhile. Raises `OSError` when one does."""
    handle = lock(folder / _LOCK)
    try:
        yield
    finally:
        os.close(handle)


@contextlib.contextmanager
def _doubts() -> Iterator[None]:
    import sqlite3

    try:
        yield
    except (sqlite3.Error, sqlite3.Warning, OverflowError, UnicodeDecodeError) as error:
        raise Doubtful(str(error)) from error
