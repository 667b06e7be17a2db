"""Water and cleaning of an enclosure somebody lives in."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from datetime import date, timedelta

from rounds.due.line import DueLine
from rounds.due.round import Round, last_day
from rounds.logbook.drafts import Draft
from rounds.logbook.entries import Cleaned, Watered
from rounds.logbook.words import NESTING_BEHAVIOURS
from rounds.standing.animal import Animal
from rounds.standing.enclosure import Enclosure


def water_lines(around: Round, tub: Enclosure | None, living: Sequence[Animal]) -> Iterator[DueLine]:
    """The dish: one to an enclosure, so a dish filled for any who lives here counts."""
    key = "cleaning.water_days"
    if tub is None:
        for one in living:
            opened = around.day_of(one.arrived) if one.arrived else None
            due = around.fell_due(key, last_day(around, one.counting(Watered)), opened)
            if due is not None:
                yield _water(around, one.subject, "", due)
        return
    filled = [tub.own(Watered), *(one.own(Watered) for one in living)]
    days = [day for entries in filled if (day := last_day(around, entries)) is not None]
    due = around.fell_due(key, max(days, default=None), around.day_of(tub.set_up) if tub.set_up else None)
    if due is not None:
        yield _water(around, tub.subject, tub.subject, due)


def _water(around: Round, about: str, place: str, due: date) -> DueLine:
    return DueLine(
        care="water",
        about=about,
        place=place,
        says="water dish cleaned and filled",
        due=due,
        late_days=around.late(due),
        drafts=(Draft(Watered, about, {}),),
        house=("cleaning.water_days",),
        left_out=around.left_out("water", about, place or None),
    )


def clean_lines(around: Round, tub: Enclosure) -> Iterator[DueLine]:
    """Spot clean and full clean. A full clean counts as a spot clean; what is set up is set up clean.

    Not of a lay box, and no full clean where somebody digs, known or not: a female who digs is left alone
    (common practice, no source). It comes back, as late as it is, when nobody has dug for the nesting gap.
    """
    if tub.what == "lay box" or not tub.holds_animals:
        return
    opened = around.day_of(tub.set_up) if tub.set_up else None
    cleans = tub.own(Cleaned)
    full = last_day(around, [entry for entry in cleans if entry.extent == "full"])
    any_clean = last_day(around, cleans)
    # When it lies further back than the page reaches nobody can say how late it is.
    forgotten = full is None and len(cleans) >= Cleaned.keep
    full_due = around.fell_due("cleaning.full_days", full or (None if forgotten else opened), opened)
    spot_due = around.fell_due("cleaning.spot_days", any_clean, opened)
    if full_due is not None and _somebody_digs(around, tub):
        full_due = None
    full_out = around.left_out("full clean", tub.subject, None)
    # A full clean makes the spot clean needless, unless it is put off to another day.
    if spot_due is not None and (full_due is None or full_out is not None):
        yield DueLine(
            care="spot clean",
            about=tub.subject,
            place=tub.subject,
            says="spot clean",
            due=spot_due,
            late_days=around.late(spot_due),
            drafts=(Draft(Cleaned, tub.subject, {"extent": "spot"}),),
            house=("cleaning.spot_days",),
            left_out=around.left_out("spot clean", tub.subject, None),
        )
    if full_due is not None:
        yield DueLine(
            care="full clean",
            about=tub.subject,
            place=tub.subject,
            says="full clean",
            due=full_due,
            late_days=around.late(full_due),
            drafts=(Draft(Cleaned, tub.subject, {"extent": "full"}),),
            house=("cleaning.full_days",),
            left_out=full_out,
        )


def _somebody_digs(around: Round, tub: Enclosure) -> bool:
    """Whether nest digging was seen in this tub, or of one who lives in it, within the nesting gap."""
    since = around.day - timedelta(days=around.house.days("breeding.nesting_gap"))
    seen = [*tub.behaviour_of_unknown, *(entry for who in tub.living for entry in around.who(who).behaviour)]
    return any(entry.behaviour in NESTING_BEHAVIOURS and around.day_of(entry) >= since for entry in seen)
