"""A standing as it was kept: pages are fetched from the pack when they are looked at, the rest is read at once."""

from __future__ import annotations

import struct
from collections.abc import Callable, Mapping
from datetime import UTC, date, datetime, timedelta
from itertools import accumulate
from typing import Final, NamedTuple

import msgspec

from rounds.cache.pack import PIECE_DIGEST, Doubtful, Index, Pack, Piece
from rounds.logbook.entries import KINDS, AnyEntry, Entry, StopWalked
from rounds.standing.card import Card
from rounds.standing.page import Key, Page
from rounds.standing.register import Register, Walked, WalkKey

_EPOCH: Final = datetime(1970, 1, 1, tzinfo=UTC)
_NEVER: Final = -(1 << 63)
#: Of each subject: where its page lies in the pack, how long its card is, and when its newest entry was (µs).
_ROW: Final = struct.Struct(f"<QI{PIECE_DIGEST}sIq")


class _PageRow(msgspec.Struct, array_like=True):
    #: Strand by strand, each oldest first.
    entries: list[AnyEntry]
    floors: list[tuple[str, datetime, str]]
    dead: list[str]


class _WalkRow(NamedTuple):
    day: date
    part: str
    entries: bytes


_PAGES: Final = msgspec.json.Decoder(_PageRow)
_ENCODER: Final = msgspec.json.Encoder()
_CARDS: Final = msgspec.msgpack.Decoder(Card)
_WALKS: Final = msgspec.msgpack.Decoder(list[_WalkRow])
_STOPS: Final = msgspec.json.Decoder(list[StopWalked])
_ORDERS: Final = msgspec.msgpack.Decoder(list[tuple[tuple[str, ...], tuple[str, ...]]])


def page_bytes(page: Page) -> bytes:
    """A page as it is kept."""
    entries = [entry for strand in page.strands.values() for entry in strand]
    floors = [(kind.__name__, at, id) for kind, (at, id) in page.floors.items()]
    return _ENCODER.encode((entries, floors, sorted(page.dead)))


def page_of(subject: str, content: bytes) -> Page:
    """A page from what was kept of it."""
    row = _PAGES.decode(content)
    strands: dict[type[Entry], list[Entry]] = {}
    for entry in row.entries:
        strands.setdefault(type(entry), []).append(entry)
    floors: dict[type[Entry], Key] = {_BY_NAME[name]: (at, id) for name, at, id in row.floors}
    whole: Mapping[type[Entry], tuple[Entry, ...]] = {kind: tuple(strand) for kind, strand in strands.items()}
    return Page(subject, whole, floors, frozenset(row.dead))


_BY_NAME: Final = {kind.__name__: kind for kind in KINDS.values()}


class KeptStanding:
    """What a register and its pages are made of again. It gives the same at each call."""

    def __init__(self, index: Index, pack: Pack, since: date, mend: Callable[[str], Page]) -> None:
        """`mend` makes a page from the subject's history, should the one kept be damaged. Raises `Doubtful`."""
        self.pack = pack
        #: Whether a page was found damaged.
        self.broken = False
        self.since = since
        self._mend = mend
        self._mended: dict[str, Page] = {}
        try:
            subjects = msgspec.msgpack.decode(index.section("subjects"), type=list[str])
            self._places = msgspec.msgpack.decode(index.section("places"), type=dict[str, str])
            self._orders = dict(_ORDERS.decode(index.section("orders")))
            walks = _WALKS.decode(index.section("walks"))
            self._table = index.section("table")
            self._cards = index.section("cards")
        except (msgspec.MsgspecError, ValueError, TypeError) as error:
            raise Doubtful(str(error)) from error
        if len(self._table) != len(subjects) * _ROW.size:
            raise Doubtful("its table does not fit")
        self.place_of = dict(zip(subjects, range(len(subjects)), strict=True))
        self._walks: dict[WalkKey, bytes] = {(row.day, row.part): row.entries for row in walks}
        self._card_ends: list[int] | None = None

    # Pages

    def piece(self, subject: str) -> Piece:
        """Where the subject's page lies."""
        offset, length, digest, _, _ = _ROW.unpack_from(self._table, self.place_of[subject] * _ROW.size)
        return Piece(offset, length, digest)

    def page(self, subject: str) -> Page:
        """The subject's page."""
        page = self._mended.get(subject)
        if page is None:
            try:
                return page_of(subject, self.pack.piece(self.piece(subject)))
            except (Doubtful, msgspec.MsgspecError, KeyError):
                self.broken = True
                page = self._mended[subject] = self._mend(subject)
        return page

    # What a register asks

    @property
    def walks(self) -> Mapping[WalkKey, bytes]:
        """The walks that were kept."""
        return self._walks

    def walk(self, key: WalkKey) -> Walked:
        """The stops done on one of them."""
        found: dict[str, tuple[StopWalked, ...]] = {}
        for entry in _STOPS.decode(self._walks[key]):
            found[entry.about] = (*found.get(entry.about, ()), entry)
        return found

    def card(self, subject: str) -> Card:
        """The subject's card."""
        return _CARDS.decode(self.card_bytes(subject))

    def card_bytes(self, subject: str) -> memoryview:
        """The subject's card as it is kept."""
        if self._card_ends is None:
            self._card_ends = list(accumulate((row[3] for row in _ROW.iter_unpack(self._table)), initial=0))
        place = self.place_of[subject]
        return memoryview(self._cards)[self._card_ends[place] : self._card_ends[place + 1]]

    def places(self) -> dict[str, str]:
        """Where each animal and group lived."""
        return dict(self._places)

    def newest(self) -> dict[str, datetime]:
        """The time of the newest entry on each page that has any."""
        times = zip(self.place_of, (row[4] for row in _ROW.iter_unpack(self._table)), strict=True)
        return {subject: _EPOCH + timedelta(microseconds=us) for subject, us in times if us != _NEVER}

    def newest_us(self, subject: str) -> int:
        """The same of one subject, in µs."""
        us: int = _ROW.unpack_from(self._table, self.place_of[subject] * _ROW.size)[4]
        return us

    def orders(self) -> dict[tuple[str, ...], tuple[str, ...]]:
        """Walking orders that were worked out."""
        return dict(self._orders)


def row_bytes(piece: Piece, card_length: int, newest_us: int) -> bytes:
    """A subject's row of the table."""
    return _ROW.pack(piece.offset, piece.length, piece.digest, card_length, newest_us)


def us_of(moment: datetime | None) -> int:
    """A moment in µs, as the table keeps it."""
    return _NEVER if moment is None else (moment - _EPOCH) // timedelta(microseconds=1)


def card_bytes(card: Card) -> bytes:
    """A card as it is kept."""
    return msgspec.msgpack.encode(card)


def register_sections(register: Register, since: date) -> dict[str, bytes]:
    """The sections of an index, cards and table aside, that a register is made of again."""
    walks = register.walks_since(since)
    return {
        "places": msgspec.msgpack.encode(dict(register.places)),
        "orders": msgspec.msgpack.encode(list(register.orders.items())),
        "walks": msgspec.msgpack.encode(
            [
                _WalkRow(day, part, _ENCODER.encode([entry for entries in walked.values() for entry in entries]))
                for (day, part), walked in walks.items()
            ]
        ),
    }
