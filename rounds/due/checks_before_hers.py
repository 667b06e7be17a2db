"""The checks before pairing that are made of a female alone: gravid or not, rest, recovery, seasons."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Final

from rounds.due.checks_before import Check
from rounds.due.dates import day
from rounds.due.figures import percent
from rounds.due.matters.look import Look
from rounds.due.matters.wording import many
from rounds.standing.recovery import recovery
from rounds.standing.seasons import bred_in_a_row, seasons_of

#: The check of eggs in her: where it is not known, she is not paired now.
GRAVID_CHECK: Final = "not gravid or laying"


def checks_of_hers(look: Look) -> Iterator[Check]:
    """The checks of a female."""
    yield not_gravid(look)
    her, house, now = look.female, look.house, look.now
    last = her.last_complete
    rest = house.days("pairing.after_laying_days")
    if last is None or last.complete is None:
        yield Check("rest since the last clutch", "yes", "no clutch is noted", "", ("pairing.after_laying_days",))
    else:
        gone = look.days_since(last.complete.at)
        told = f"{many(gone, 'day')} since {day(last.complete.at, now)}, rests {rest}"
        no = f"laid {many(gone, 'day')} ago, rests {rest}" if gone < rest else ""
        yield Check(
            "rest since the last clutch",
            "no" if no else "yes",
            told,
            no,
            ("pairing.after_laying_days",),
            (last.complete,),
        )
    yield _recovered(look)
    yield from _seasons(look)


def not_gravid(look: Look) -> Check:
    """Whether eggs may be in her: no when something was seen, not known in or past a window."""
    her, now = look.female, look.now
    name, keys = (
        GRAVID_CHECK,
        ("breeding.window_opens", "breeding.window_closes", "breeding.next_clutch_days"),
    )
    if her.laying is not None:
        return Check(name, "no", f"laying, {many(her.laying.count, 'egg')} so far", "laying", keys, her.laying.laid)
    if look.digging is not None:
        return Check(name, "no", f"digs since {day(look.digging.since, now)}", "digs", keys, look.digging.entries)
    if her.felt is not None:
        return Check(name, "no", f"eggs felt {day(her.felt.at, now)}", "gravid", keys, (her.felt,))
    if her.heavy is not None and look.gravid_because is not None:
        return Check(
            name, "no", f"heavy {day(her.heavy.at, now)}, may be gravid", "heavy, may be gravid", keys, (her.heavy,)
        )
    window = look.window
    may_be = look.gravid_because is not None
    if window is not None and may_be and now.date() > window.closes and window.why != "stored sperm":
        told = f"window ended {day(window.closes, now)}, no eggs noted"
        return Check(name, "not known", told, "may be gravid", keys, window.entries)
    if window is not None and may_be and now.date() <= window.closes:
        mated = {"mated": "mated", "with a male": "was with a male", "stored sperm": "next clutch"}[window.why]
        told = f"{mated}: window {day(window.opens, now)} to {day(window.closes, now)}"
        return Check(name, "not known", told, "may be gravid", keys, window.entries)
    return Check(name, "yes", "nothing noted speaks for eggs", "", keys)


def _recovered(look: Look) -> Check:
    key = "pairing.recovered_percent"
    name, found = "recovered from the last clutch", recovery(look.female, look.now, look.house.year_days)
    if found is None:
        told = "no clutch is noted" if look.female.last_complete is None else "a long rest since the last clutch"
        return Check(name, "yes", told, "", (key,))
    behind = (found.last.reading,) if found.last is not None else ()
    if found.before is None:
        return Check(
            name,
            "not known",
            "no weight is noted from before it",
            "weight before the clutch not known",
            (key,),
            behind,
        )
    if found.last is None or found.part is None:
        told = f"not weighed since; {found.before:g} g before it"
        return Check(name, "not known", told, "not weighed since the clutch", (key,))
    least = look.house.number(key)
    told = f"{found.last.grams:g} g, {percent(found.part)} of {found.before:g} g before it; asked for {least:g} %"
    if found.part < least / 100 - 1e-9:
        return Check(
            name, "no", told, f"not recovered ({percent(found.part)} of {found.before:g} g)", (key,), behind
        )
    if found.last.unsure:
        return Check(name, "not known", f"{told}; readings differ", "readings of the weight differ", (key,), behind)
    return Check(name, "yes", told, "", (key,), behind)


def _seasons(look: Look) -> Iterator[Check]:
    house = look.house
    most = house.days("breeding.season_clutches")
    seasons = seasons_of(look.female, look.now, house.year_days)
    keys = ("breeding.season_clutches", "breeding.season_gap_days")
    for word, season in (("this season", seasons[-1]), ("last season", seasons[-2] if len(seasons) > 1 else None)):
        laid = season.clutches if season is not None else ()
        had = sum(parts[0].subject in laid for parts in look.female.layings)
        # One more may come of a pairing this season; last season's are over.
        over = had >= most if word == "this season" else had > most
        told = f"{many(had, 'clutch', 'clutches')} of at most {most}"
        if season is None:
            told = "none is noted here"
        yield Check(f"clutches {word}", "no" if over else "yes", told, f"{told} {word}" if over else "", keys)
    after, row = house.days("breeding.rest_after_seasons"), bred_in_a_row(seasons)
    told = f"bred {many(row, 'season')} in a row, " + (f"rests after {after}" if after else "no rest year is set")
    # In a season that has begun with eggs she breeds already.
    before = row - bool(seasons[-1].clutches)
    rests = bool(after) and before >= after
    yield Check(
        "rest year", "no" if rests else "yes", told, told if rests else "", ("breeding.rest_after_seasons",)
    )
