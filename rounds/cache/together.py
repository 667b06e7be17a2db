"""A long history read by several processes at once: each reads its share of the days, one puts it together.

Checking and decoding each line is all that costs, and no line needs another. A reading that fails in one
process is done again in the one that asked for it, so that nothing depends on the others.
"""

from __future__ import annotations

import contextlib
import os
import select
import signal
import struct
import tempfile
import threading
from collections.abc import Iterator
from typing import IO, Final, NoReturn

import msgspec

from rounds.cache.kept import page_bytes, page_of
from rounds.cache.lines import KeptLines, Noting
from rounds.cache.share import read_share
from rounds.cache.state import Taking
from rounds.logbook import rows
from rounds.sheets.shares import Report, Share
from rounds.sheets.store import Sheets

#: A history under this many bytes is read as fast by one.
LONG: Final = 64 << 20
_MOST: Final = 4
_FRAME: Final = struct.Struct("<HI")


class Told(msgspec.Struct, array_like=True):
    """What a process tells of its share, beside the pages: how far it read, and what a desk keeps in mind."""

    report: Report
    lines: KeptLines
    recent: list[bytes]
    ahead: list[bytes]
    newest: bytes | None
    last_ms: int
    odd: bool
    many: int


def shares_for(size: int) -> int:
    """By how many processes a history of so many bytes is best read here."""
    if size < LONG or not hasattr(os, "fork") or threading.active_count() > 1:
        return 1
    cores = len(os.sched_getaffinity(0)) if hasattr(os, "sched_getaffinity") else os.cpu_count() or 1  # type: ignore[attr-defined, unused-ignore]
    return max(1, min(_MOST, cores, size // (LONG // 2)))


class Helper:
    """A process that reads one share."""

    def __init__(self, share: Share, taking: Taking, noting: Noting, sheets: Sheets) -> None:
        """Begin, with nothing taken in yet. Raises `OSError` when no process can be had."""
        self.share = share
        self.done = 0
        self._result: IO[bytes] = tempfile.TemporaryFile()  # noqa: SIM115 (it outlives this call)
        self._progress, far_end = os.pipe()
        try:
            self._process = os.fork()  # type: ignore[attr-defined, unused-ignore]
        except OSError:
            os.close(self._progress)
            os.close(far_end)
            self._result.close()
            raise
        if self._process == 0:
            _read_share(share, taking, noting, sheets, self._result, far_end)
        os.close(far_end)

    def listen(self, wait: float) -> bool:
        """Hear how far it is, waiting so long at most; whether it is still at it."""
        if not select.select([self._progress], [], [], wait)[0]:
            return True
        heard = os.read(self._progress, 4096)
        self.done += len(heard)
        return bool(heard)

    def join(self, taking: Taking, noting: Noting, sheets: Sheets) -> bool:
        """Put what it read together with the rest; False when it did not come to its end."""
        _, status = os.waitpid(self._process, 0)
        os.close(self._progress)
        with self._result as result:
            if status != 0:
                return False
            try:
                result.seek(0)
                while sum(lengths := _FRAME.unpack(result.read(_FRAME.size))):
                    subject = result.read(lengths[0]).decode()
                    taking.gathering.add_page(page_of(subject, result.read(lengths[1])))
                told = msgspec.msgpack.decode(result.read(), type=Told)
            except (OSError, ValueError, KeyError, struct.error, msgspec.MsgspecError):
                return False
        taking.join(
            [rows.entry_of(line) for line in told.recent],
            [rows.entry_of(line) for line in told.ahead],
            rows.entry_of(told.newest) if told.newest is not None else None,
            told.last_ms,
            told.many,
            odd=told.odd,
        )
        noting.others += told.lines
        sheets.adopt(told.report)
        return True

    def stop(self) -> None:
        """Break it off."""
        with contextlib.suppress(OSError):
            os.kill(self._process, signal.SIGKILL)  # type: ignore[attr-defined, unused-ignore]
            os.waitpid(self._process, 0)
        with contextlib.suppress(OSError):
            os.close(self._progress)
        self._result.close()


def _read_share(
    share: Share, taking: Taking, noting: Noting, sheets: Sheets, result: IO[bytes], progress: int
) -> NoReturn:
    """Read the share, write down what came of it, and end: nothing else of the process that asked goes on here."""
    code = 1
    try:
        signal.signal(signal.SIGINT, signal.SIG_DFL)
        for _ in read_share(share, taking, noting, sheets):
            os.write(progress, b".")
        taken = taking.end()
        for page in taken.standing.pages.values():
            subject, content = page.subject.encode(), page_bytes(page)
            result.write(_FRAME.pack(len(subject), len(content)) + subject + content)
        result.write(_FRAME.pack(0, 0))
        told = Told(
            report=sheets.report(),
            lines=noting.end(),
            recent=[rows.plain_line(entry) for entry in taken.recent.entries],
            ahead=[rows.plain_line(entry) for entry in taken.ahead],
            newest=rows.plain_line(taken.newest) if taken.newest is not None else None,
            last_ms=taken.last_ms,
            odd=taken.odd,
            many=taking.many,
        )
        result.write(msgspec.msgpack.encode(told))
        result.flush()
        code = 0
    finally:
        os._exit(code)


def read_together(processes: int, taking: Taking, noting: Noting, sheets: Sheets) -> Iterator[tuple[int, int]]:
    """Read all sheets by so many processes, this one among them; how many are read, and how many there are."""
    helpers: list[Helper] = []
    own = [Share(0, processes)]
    try:
        for number in range(1, processes):
            share = Share(number, processes)
            try:
                helpers.append(Helper(share, taking, noting, sheets))
            except OSError:
                own.append(share)
        done = of = 0
        for place, share in enumerate(own):
            before = done
            for read, of in read_share(share, taking, noting, sheets, going_on=place > 0):
                done = before + read
                for helper in helpers:
                    helper.listen(0)
                yield done + sum(helper.done for helper in helpers), of
        while helpers:
            helper = helpers[0]
            while helper.listen(0.1):
                yield done + sum(one.done for one in helpers), of
            del helpers[0]
            done += helper.done
            if not helper.join(taking, noting, sheets):
                for _ in read_share(helper.share, taking, noting, sheets, going_on=True):
                    yield done, of
    finally:
        for helper in helpers:
            helper.stop()
