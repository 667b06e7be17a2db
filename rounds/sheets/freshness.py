"""Whether what was worked out from the sheets is what stands on them."""

from __future__ import annotations

from enum import Enum, auto


class Freshness(Enum):
    """How far what was read, or loaded from a cache, can be trusted."""

    #: It was read from the sheets, or held against every one of them.
    VERIFIED = auto()
    #: It was loaded from a cache, and the sheets are still to be looked at.
    UNVERIFIED = auto()
    #: A sheet is gone: what it held counts until the next start, for which nothing is kept.
    LACKING = auto()
    #: A sheet was changed behind where it had been read: all is to be read again.
    STALE = auto()
