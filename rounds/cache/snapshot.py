"""A standing as it was stored: a page is fetched when it is looked at, the rest is decoded when it is asked for."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from datetime import date, datetime
from functools import cached_property
from typing import Any, Final, NamedTuple, TypeVar

import msgspec

from rounds.cache.store import Root, Store, digest
from rounds.cache.trust import Doubtful
from rounds.logbook.entries import KINDS, AnyEntry, Entry, StopWalked
from rounds.standing.card import Card
from rounds.standing.page import Crowded, Key, Page
from rounds.standing.register import Register, Walked, WalkKey

Content = TypeVar("Content")


class _PageRow(msgspec.Struct, array_like=True):
    #: Strand by strand, each oldest first.
    entries: list[AnyEntry]
    floors: list[tuple[str, datetime, str]]
    dead: list[str]
    crowded: list[tuple[str, int, datetime, str]]


class _WalkRow(NamedTuple):
    day: date
    part: str
    entries: bytes


_PAGES: Final = msgspec.json.Decoder(_PageRow)
_ENCODER: Final = msgspec.json.Encoder()
_CARDS: Final = msgspec.msgpack.Decoder(Card)
_STOPS: Final = msgspec.json.Decoder(list[StopWalked])
_BY_NAME: Final = {kind.__name__: kind for kind in KINDS.values()}


def page_bytes(page: Page) -> bytes:
    """A page as it is stored."""
    entries = [entry for strand in page.strands.values() for entry in strand]
    floors = [(kind.__name__, at, id) for kind, (at, id) in page.floors.items()]
    crowded = [(kind.__name__, day, at, id) for (kind, day), (at, id) in page.crowded.items()]
    return _ENCODER.encode((entries, floors, sorted(page.dead), crowded))


def page_of(subject: str, content: bytes) -> Page:
    """A page from its bytes. Raises `MsgspecError`, `ValueError`, `KeyError`."""
    row = _PAGES.decode(content)
    strands: dict[type[Entry], list[Entry]] = {}
    for entry in row.entries:
        strands.setdefault(type(entry), []).append(entry)
    floors: dict[type[Entry], Key] = {_BY_NAME[name]: (at, id) for name, at, id in row.floors}
    whole: Mapping[type[Entry], tuple[Entry, ...]] = {kind: tuple(strand) for kind, strand in strands.items()}
    crowded: dict[Crowded, Key] = {(_BY_NAME[name], day): (at, id) for name, day, at, id in row.crowded}
    return Page(subject, whole, floors, frozenset(row.dead), crowded)


class Sections:
    """The sections of one save, each held to its digest when it is decoded."""

    def __init__(self, root: Root, contents: Mapping[str, bytes]) -> None:
        self._root = root
        self._contents = dict(contents)

    def checked(self, name: str) -> bytes:
        """The bytes of a section. Raises `Doubtful`."""
        content = self._contents.get(name)
        if not isinstance(content, bytes) or digest(content) != self._root.digests.get(name):
            raise Doubtful(f"its {name} is damaged")
        return content

    def decoded(self, name: str, type: Callable[..., Content] | Any) -> Any:
        """A section as what it holds; its bytes are let go. Raises `Doubtful`."""
        try:
            content = msgspec.msgpack.decode(self.checked(name), type=type)
        except (msgspec.MsgspecError, ValueError, TypeError) as error:
            raise Doubtful(f"its {name} cannot be read") from error
        del self._contents[name]
        return content


class Snapshot:
    """What a register and its pages are made of again. It gives the same at each call."""

    def __init__(self, store: Store, sections: Sections, since: date, refold: Callable[[str], Page]) -> None:
        """`refold` makes a page from the subject's history, should the stored one be damaged. Raises `Doubtful`."""
        self.store = store
        #: Whether a page was found damaged.
        self.broken = False
        self.since = since
        self._refold = refold
        self._refolded: dict[str, Page] = {}
        #: The digest of each subject's page.
        self.pages: dict[str, bytes] = sections.decoded("pages", dict[str, bytes])
        #: Each subject's card, as it is stored.
        self.cards: dict[str, msgspec.Raw] = sections.decoded("cards", dict[str, msgspec.Raw])
        walks: list[_WalkRow] = sections.decoded("walks", list[_WalkRow])
        self._walks: dict[WalkKey, bytes] = {(row.day, row.part): row.entries for row in walks}
        self._sections = sections
        for name in ("places", "orders", "newest"):
            sections.checked(name)

    def page(self, subject: str) -> Page:
        """The subject's page."""
        page = self._refolded.get(subject)
        if page is None:
            try:
                content = self.store.page(subject, self.pages[subject])
                if content is not None:
                    return page_of(subject, content)
            except (Doubtful, msgspec.MsgspecError, ValueError, KeyError):
                self.broken = True
            page = self._refolded[subject] = self._refold(subject)
        return page

    # What a register asks

    @property
    def walks(self) -> Mapping[WalkKey, bytes]:
        """The walks that are stored."""
        return self._walks

    def walk(self, key: WalkKey) -> Walked:
        """The stops done on one of them."""
        found: dict[str, tuple[StopWalked, ...]] = {}
        for entry in _STOPS.decode(self._walks[key]):
            found[entry.about] = (*found.get(entry.about, ()), entry)
        return found

    def card(self, subject: str) -> Card:
        """The subject's card."""
        return _CARDS.decode(self.cards[subject])

    @cached_property
    def _places(self) -> dict[str, str]:
        found: dict[str, str] = self._sections.decoded("places", dict[str, str])
        return found

    def places(self) -> dict[str, str]:
        """Where each animal and group lived."""
        return dict(self._places)

    @cached_property
    def _newest(self) -> dict[str, datetime]:
        found: dict[str, datetime] = self._sections.decoded("newest", dict[str, datetime])
        return found

    def newest(self) -> dict[str, datetime]:
        """The time of the newest entry on each page that has any."""
        return dict(self._newest)

    @cached_property
    def _orders(self) -> dict[tuple[str, ...], tuple[str, ...]]:
        return dict(self._sections.decoded("orders", list[tuple[tuple[str, ...], tuple[str, ...]]]))

    def orders(self) -> dict[tuple[str, ...], tuple[str, ...]]:
        """Walking orders that were worked out."""
        return dict(self._orders)


def register_sections(register: Register, since: date, kept: Snapshot | None) -> dict[str, bytes]:
    """The sections that a register is made of again; cards that are as in `kept` are taken from there."""
    cards = {
        subject: kept.cards[subject]
        if kept is not None and register.is_as_stored(subject)
        else register.card(subject)
        for subject in register.pages
    }
    walks = [
        _WalkRow(day, part, _ENCODER.encode([entry for entries in walked.values() for entry in entries]))
        for (day, part), walked in register.walks_since(since).items()
    ]
    return {
        "cards": msgspec.msgpack.encode(cards),
        "places": msgspec.msgpack.encode(dict(register.places)),
        "orders": msgspec.msgpack.encode(list(register.orders.items())),
        "newest": msgspec.msgpack.encode(dict(register.newest)),
        "walks": msgspec.msgpack.encode(walks),
    }
