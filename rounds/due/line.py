"""A due line: a piece of care that is due at a stop today."""

from __future__ import annotations

from datetime import date

import msgspec

from rounds.logbook.drafts import Draft
from rounds.logbook.entries import LeftOut
from rounds.logbook.words import Care


class DueLine(msgspec.Struct, frozen=True, kw_only=True):
    """Care due at an enclosure: of the enclosure itself, or of one animal or group that lives there.

    `about` is whom it concerns, `due` the first day on which it was to be done, `late_days` how long it is
    overdue (0: due today, or within the days that candling may take). A `plain` line is done "as planned" by
    the one key that walks the stop: `drafts` are what that key writes. A line that is not plain wants something
    looked at or read off first (an egg check, a weight, a climate).
    """

    care: Care
    about: str
    place: str
    says: str
    due: date
    late_days: int = 0
    plain: bool = True
    drafts: tuple[Draft, ...] = ()
    house: tuple[str, ...] = ()
    left_out: LeftOut | None = None
