"""Water, its dish, and cleaning of an enclosure somebody lives in."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from datetime import date, timedelta

from rounds.due.line import DueLine
from rounds.due.round import Round, last_day, lived_in_since
from rounds.logbook.drafts import Draft
from rounds.logbook.entries import Cleaned, LeftOut, Watered
from rounds.logbook.words import NESTING_BEHAVIOURS, Care
from rounds.standing.animal import Animal
from rounds.standing.enclosure import Enclosure


def water_lines(around: Round, tub: Enclosure | None, living: Sequence[Animal]) -> Iterator[DueLine]:
    """Fresh water, and the dish scrubbed: one dish to an enclosure, so water given to any who lives here counts."""
    if tub is None:
        for one in living:
            opened = around.day_of(one.arrived) if one.arrived else None
            yield from _dish(around, one.subject, "", one.counting(Watered), opened, opened)
        return
    given = [*tub.own(Watered), *(entry for one in living for entry in one.own(Watered))]
    set_up = around.day_of(tub.set_up) if tub.set_up else None
    lived = lived_in_since(around, living, tub.set_up)
    yield from _dish(around, tub.subject, tub.subject, sorted(given, key=lambda entry: entry.key), set_up, lived)


def _dish(
    around: Round, about: str, place: str, given: Sequence[Watered], set_up: date | None, opened: date | None
) -> Iterator[DueLine]:
    """One line when both are due. Scrubbing brings fresh water too; water alone does not scrub."""
    scrubs = [entry for entry in given if entry.scrubbed]
    # When it lies further back than the page reaches nobody can say how late it is.
    forgotten = not scrubs and len(given) >= Watered.keep
    water = around.fell_due("cleaning.water_days", last_day(around, given), opened)
    dish = around.first_fell_due(
        "cleaning.dish_days", last_day(around, scrubs), None if forgotten else set_up, opened
    )
    water_out = around.left_out("water", about, place or None)
    # Without water no dish is scrubbed either.
    dish_out = around.left_out("dish", about, place or None) or water_out
    if water is not None and (dish is None or dish_out is not None):
        yield _line(around, "water", about, place, water, water_out)
    if dish is not None:
        alone = water is None or dish_out is not None
        yield _line(
            around, "dish", about, place, dish if alone or water is None else min(dish, water), dish_out, alone
        )


def _line(
    around: Round, care: Care, about: str, place: str, due: date, left_out: LeftOut | None, alone: bool = False
) -> DueLine:
    scrubbed = care == "dish"
    water_key, dish_key = "cleaning.water_days", "cleaning.dish_days"
    return DueLine(
        care=care,
        about=about,
        place=place,
        says="fresh water" if not scrubbed else "dish scrubbed" if alone else "fresh water, dish scrubbed",
        due=due,
        late_days=around.late(due),
        drafts=(Draft(Watered, about, {"scrubbed": True} if scrubbed else {}),),
        house=(water_key,) if not scrubbed else (dish_key,) if alone else (water_key, dish_key),
        left_out=left_out,
    )


def clean_lines(around: Round, tub: Enclosure) -> Iterator[DueLine]:
    """Spot clean and full clean. A full clean counts as a spot clean; what is set up is set up clean.

    Not of a lay box, and no full clean where somebody digs, known or not: a female who digs is left alone
    (common practice, no source). It comes back, as late as it is, when nobody has dug for the nesting gap.
    """
    if tub.what == "lay box" or not tub.holds_animals:
        return
    set_up = around.day_of(tub.set_up) if tub.set_up else None
    lived = lived_in_since(around, [around.who(who) for who in tub.living], tub.set_up)
    cleans = tub.own(Cleaned)
    full = last_day(around, [entry for entry in cleans if entry.extent == "full"])
    any_clean = last_day(around, cleans)
    # When it lies further back than the page reaches nobody can say how late it is.
    forgotten = full is None and len(cleans) >= Cleaned.keep
    full_due = around.first_fell_due("cleaning.full_days", full, None if forgotten else set_up, lived)
    spot_due = around.fell_due("cleaning.spot_days", any_clean, lived)
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
