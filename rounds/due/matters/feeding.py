"""Food left, droppings that are missing or wrong, and a body that shows it."""

from __future__ import annotations

from collections.abc import Iterator

from rounds.due.matter import Level, Matter
from rounds.due.matters.eggs import expected_refusals, times
from rounds.due.matters.look import Look, cites, needs
from rounds.due.matters.wording import CALL_STEP, VET_STEP, day, many
from rounds.logbook.entries import Ate, ConditionSeen, DroppingsSeen, Entry, Fed, ShedSeen


@cites("health.refused_young_times", "health.refused_adult_times", "health.refused_lapses_days")
@needs(Ate)
def refused_food(look: Look) -> Iterator[Matter]:
    """An animal left its food several times in a row.

    Young: today. Adults: watch, today from twice as many times on. Any food taken ends it. Not asked in
    brumation; not asked of a carrying female who is bright and active, in whom it is expected.
    """
    one = look.animal
    refusals = one.refusals
    if not refusals or one.brumating_since is not None:
        return
    key = "health.refused_young_times" if look.is_young else "health.refused_adult_times"
    limit = look.house.days(key)
    if len(refusals) < limit or look.days_since(refusals[-1].at) > look.house.days("health.refused_lapses_days"):
        return
    if expected_refusals(look):
        return
    level = Level.TODAY if look.is_young or len(refusals) >= 2 * limit else Level.WATCH
    new = " and is in quarantine" if one.quarantine_since is not None else ""
    yield look.matter(
        refused_food,
        level,
        f"{look.name} left {look.her} food {times(len(refusals))} in a row, since {day(refusals[0].at)}{new}.",
        since=refusals[0].at,
        entries=refusals,
        do=(
            "Check the warmth of the basking spot and who shares the enclosure; offer another food.",
            "Weigh, and look for droppings.",
            f"Also losing weight, or dull: {CALL_STEP}",
        ),
        worsens="losing weight or dull: vet"
        if level == Level.TODAY
        else f"today from {2 * limit} times in a row; losing weight or dull: vet",
        acts=("feed", "weigh", "climate", "droppings"),
        house=(key, "health.refused_lapses_days"),
    )


@cites("health.no_droppings_young_days", "health.no_droppings_adult_days")
def no_droppings(look: Look) -> Iterator[Matter]:
    """An animal eats, and no droppings were seen for days.

    Watch; today after twice as long, or with droppings looked for and not found. Counted from the last
    droppings noted of it or of its tub, or from the first note that none were found; where droppings are
    never noted nothing can be said. Not in brumation.
    """
    one = look.animal
    if one.brumating_since is not None or not (one.page.last(DroppingsSeen) or look.place):
        return
    seen = one.droppings
    if not seen:
        return
    missing: list[DroppingsSeen] = []
    for entry in reversed(seen):
        if entry.look != "none found":
            break
        missing.append(entry)
    start: Entry = seen[-len(missing) - 1] if len(missing) < len(seen) else missing[-1]
    key = "health.no_droppings_young_days" if look.is_young else "health.no_droppings_adult_days"
    limit = look.house.days(key)
    days = look.days_since(start.at)
    if days <= limit or (not missing and days > 4 * limit):
        return  # so long without a note: droppings are not noted for this animal
    eaten = _eaten_since(look, start)
    if not eaten:
        return
    level = Level.TODAY if missing and days > 2 * limit else Level.WATCH
    yield look.matter(
        no_droppings,
        level,
        f"{look.name} eats, and no droppings were seen for {many(days, 'day')}.",
        since=start.at,
        entries=(start, *reversed(missing), eaten[-1]),
        do=(
            "Look for droppings; found some, write them down.",
            "Warm enough at the basking spot? Water offered?",
            f"Straining, swollen or dull: {CALL_STEP}",
        ),
        worsens=f"looked for and not found after {2 * limit} days: today; straining: vet"
        if level == Level.WATCH
        else "straining, swollen or dull: vet",
        acts=("droppings", "climate", "refer"),
        house=(key,),
    )


def _eaten_since(look: Look, start: Entry) -> list[Entry]:
    """Food taken since, as noted; where nothing was noted of it, food given."""
    one = look.animal
    noted: list[Entry] = [entry for entry in one.own(Ate) if entry.at > start.at]
    if noted:
        return [entry for entry in noted if isinstance(entry, Ate) and entry.how != "refused"]
    return [entry for entry in one.counting(Fed) if entry.at > start.at]


@cites()
@needs(DroppingsSeen)
def droppings_not_right(look: Look) -> Iterator[Matter]:
    """The last droppings had blood or mucus in them, or were runny or undigested twice in a row.

    Blood or mucus: vet, with a fresh sample. Otherwise watch. No number is behind it: common practice, no
    source.
    """
    seen = [entry for entry in look.animal.own(DroppingsSeen) if entry.look != "none found"]
    vet = look.animal.last_vet
    run: list[DroppingsSeen] = []
    for entry in reversed(seen):
        if entry.look == "normal" or (vet is not None and entry.at <= vet.at):
            break
        run.append(entry)
    run.reverse()
    blood = [entry for entry in run if entry.look == "blood or mucus"]
    if not blood and len(run) < 2:
        return
    words = "blood or mucus in the droppings" if blood else f"droppings {run[-1].look}"
    yield look.matter(
        droppings_not_right,
        Level.VET if blood else Level.WATCH,
        f"{look.name}: {words}, {times(len(blood or run))} since {day((blood or run)[0].at)}.",
        since=(blood or run)[0].at,
        entries=tuple(run),
        do=(
            "Keep a fresh sample cool and clean, for the vet.",
            VET_STEP if blood else f"Seen again, or losing weight: {CALL_STEP}",
            "Wash hands; clean the enclosure before the next one.",
        ),
        worsens="dull or losing weight" if blood else "blood or mucus: vet",
        acts=("droppings", "weigh", "refer"),
    )


@cites("weights.least_weighings")
@needs(ConditionSeen)
def looks_thin(look: Look) -> Iterator[Matter]:
    """An animal was last noted as thin.

    Watch; today for young. It ends when its body is noted as good again.
    """
    noted = [entry for entry in look.animal.own(ConditionSeen) if entry.body]
    if not noted or noted[-1].body != "thin" or look.animal.brumating_since is not None:
        return
    run: list[ConditionSeen] = []
    for entry in reversed(noted):
        if entry.body != "thin":
            break
        run.append(entry)
    yield look.matter(
        looks_thin,
        Level.TODAY if look.is_young else Level.WATCH,
        f"{look.name} looks thin since {day(run[-1].at)}.",
        since=run[-1].at,
        entries=tuple(reversed(run)),
        do=("Weigh, and look at food, droppings and company.", f"Losing weight too: {CALL_STEP}"),
        worsens="a loss found by the weight rule",
        acts=("weigh", "feed", "droppings"),
    )


@cites("health.shed_days")
@needs(ShedSeen)
def stuck_shed(look: Look) -> Iterator[Matter]:
    """A shed is stuck.

    Watch; today when it is still stuck after the days of the house rule: toes and the tip of the tail may
    be tied off (common practice, no source).
    """
    shed = look.animal.own(ShedSeen)
    run: list[ShedSeen] = []
    for entry in reversed(shed):
        if entry.state != "stuck":
            break
        run.append(entry)
    if not run:
        return
    first, last = run[-1], run[0]
    over = look.days_since(first.at) >= look.house.days("health.shed_days")
    where = f" ({' '.join(last.where.split())[:60]})" if last.where.strip() else ""
    again = look.in_days(first.at, look.house.days("health.shed_days"))
    yield look.matter(
        stuck_shed,
        Level.TODAY if over else Level.WATCH,
        f"{look.name}'s shed is stuck since {day(first.at)}{where}.",
        since=first.at,
        entries=tuple(reversed(run)),
        do=(
            "A lukewarm bath and something rough to rub against; do not pull.",
            f"Toes or tail swollen or dark: {CALL_STEP}",
            "Off clean? Write it down.",
        ),
        worsens="toes or tail swollen or dark: vet" if over else f"still stuck on {day(again)}: today",
        acts=("note",),
    )
