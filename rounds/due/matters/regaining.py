"""A female who does not regain what laying took."""

from __future__ import annotations

from collections.abc import Iterator

from rounds.due.figures import percent
from rounds.due.matter import Level, Matter
from rounds.due.matters.look import Look, cites, needs
from rounds.due.matters.wording import many
from rounds.logbook.entries import EggsLaid
from rounds.standing.recovery import recovery


@cites("pairing.recovered_percent", "pairing.after_laying_days", "breeding.season_gap_days")
@needs(EggsLaid)
def not_regained(look: Look) -> Iterator[Matter]:
    """Weeks after laying she weighs well under her own weight before the clutch.

    Watch, by the last weighing made once the weeks of rest after laying are over. It ends when she has regained it,
    when she lays again or brumates, and with the season. What she loses from one weighing to the next is `weight
    loss`.
    """
    found = recovery(look.female, look.now, look.house.year_days)
    if found is None or found.part is None or found.before is None or found.last is None:
        return
    rest, least = look.house.days("pairing.after_laying_days"), look.house.number("pairing.recovered_percent")
    days = (found.last.at.date() - found.laid.date()).days
    if days < rest or found.part >= least / 100 - 1e-9 or look.female.laying is not None:
        return
    yield look.matter(
        not_regained,
        Level.WATCH,
        f"{look.name}: {percent(found.part)} of her own {found.before:g} g, {many(days, 'day')} after laying.",
        since=found.last.at,
        entries=(*found.eggs.laid[-1:], *found.last.middle),
        do=(
            "Look at food, warmth and UV, droppings, and who shares the enclosure.",
            "She is not paired before she has regained it. No gain at the next weighings: ask your vet.",
        ),
        worsens="loses more: weight loss, by its own rule; any danger sign: vet now",
        acts=("weigh", "egg check", "vet called"),
    )
