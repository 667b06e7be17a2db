"""Young just hatched: not in a group yet, or still where the eggs lay."""

from __future__ import annotations

from collections.abc import Iterator

from rounds.due.matter import Level, Matter
from rounds.due.matters.look import Look, cites, needs
from rounds.due.matters.wording import day
from rounds.logbook.entries import Hatched
from rounds.standing.enclosure import enclosure

_BOXES = ("incubator shelf", "egg box")


@cites("young.in_box_days", "young.no_group_days")
@needs(Hatched)
def young_in_no_group(look: Look) -> Iterator[Matter]:
    """Young have hatched and are in no group: no enclosure has them, and no walk feeds them.

    Watch on the day they hatch, then today. It ends once as many are registered as hatched, and after some weeks.
    """
    from rounds.standing.clutch_young import in_no_group  # late: no start has to wait for it

    clutch = look.clutch
    hatched = [one for one in clutch.page.of(Hatched) if one.about == look.subject and one.count]
    if not hatched or look.days_since(hatched[-1].at) > look.house.days("young.no_group_days"):
        return
    missing = in_no_group(look.standing, look.subject)
    if not missing:
        return
    late = look.days_since(hatched[0].at) >= look.house.days("young.in_box_days")
    yield look.matter(
        young_in_no_group,
        Level.TODAY if late else Level.WATCH,
        f"{clutch.called}: {missing} young in no group, no one feeds them."
        if late
        else f"{clutch.called}: {missing} young hatched, in no group yet.",
        since=hatched[0].at,
        entries=tuple(hatched[-3:]),
        do=(
            "Take the young out promptly: adults eat them.",
            "Write the group they live in, with its count. Some died? Write the group first, then the deaths.",
        ),
        worsens="young dry out in a box that no one opens" if late else "not in a group tomorrow: today",
        acts=("eggs", "note"),
    )


@cites("young.in_box_days")
def young_in_the_incubator(look: Look) -> Iterator[Matter]:
    """Young live in an egg box or on an incubator shelf: there is no food, no basking spot and no UV.

    Watch on the first day, then today. It ends when they are moved.
    """
    place, one = look.place, look.animal
    if place is None or not one.stays or enclosure(look.standing, place).what not in _BOXES:
        return
    since = one.stays[-1].since
    late = look.days_since(since) >= look.house.days("young.in_box_days")
    name = look.standing.name(place)
    there = f"{look.group.count} young" if look.subject.startswith("group/") else "there"
    yield look.matter(
        young_in_the_incubator,
        Level.TODAY if late else Level.WATCH,
        f"Take {look.name} out of {name}: {there} since {day(since)}.",
        since=since,
        entries=tuple(entry for entry in (one.arrived,) if entry is not None),
        do=(
            "Move them to an enclosure with a basking spot, UV and water.",
            "A yolk sac still out? Damp paper, warm and quiet. Do not pull at it. Ask your vet.",
        ),
        worsens="they dry out and go hungry",
        acts=("move", "note"),
    )
