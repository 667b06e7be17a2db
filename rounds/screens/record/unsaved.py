"""What the disk did not take, in the keeper's words."""

from __future__ import annotations

from datetime import datetime

from rounds.logbook.drafts import Draft
from rounds.paper.said import said
from rounds.paper.words import first_words, time_words
from rounds.standing.clutch import called
from rounds.standing.fold import Standing


def draft_words(standing: Standing, draft: Draft, now: datetime, by: str) -> str:
    """An entry before it is written: about whom, what, when if earlier, and the first words of its note."""
    entry = draft.entry("", now, by)
    what = said(standing, entry)
    earlier = f", {time_words(entry.at, now)}" if draft.at is not None else ""
    note = f": {first_words(entry.note)}" if entry.note and first_words(entry.note) not in what else ""
    return f"{called(standing, entry.about)}: {what}{earlier}{note}"
