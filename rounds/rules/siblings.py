"""What siblings of one clutch weigh in the same days, to hold a young animal against."""

from __future__ import annotations

import msgspec

from rounds.logbook.times import days_between
from rounds.rules.house import House
from rounds.standing.animal import Animal, animal
from rounds.standing.clutch_young import clutches_of_group, young_of
from rounds.standing.fold import Standing
from rounds.standing.group import group
from rounds.standing.slopes import median
from rounds.standing.weighings import weighings

#: Fewer siblings than these have no median worth the word.
_LEAST = 3
#: No group counts for more than this.
_MOST = 200


class Siblings(msgspec.Struct, frozen=True):
    """The median weight of siblings in g, and of how many."""

    grams: float
    many: int


def sibling_median(standing: Standing, house: House, one: Animal) -> Siblings | None:
    """The median weight of its siblings, weighed within the days of the house rule of its own last weighing.

    A group of the same clutch alone counts with its mean for each young in it. None with fewer than three.
    """
    clutch = one.arrived.clutch if one.arrived else None
    own = weighings(one, house.weighing_rule)
    if clutch is None or not own:
        return None
    around, rule = house.days("young.siblings_days"), house.weighing_rule
    young = young_of(standing, clutch)
    found: list[float] = []
    for subject in (*young.animals, *young.groups):
        if subject == one.subject:
            continue
        together = subject.startswith("group/")
        other: Animal = group(standing, subject) if together else animal(standing, subject)
        if not other.here:
            continue
        if together:
            same = clutches_of_group(standing, group(standing, subject)) == (clutch,)
        else:
            same = other.arrived is not None and other.arrived.clutch == clutch
        near = [each for each in weighings(other, rule) if abs(days_between(each.at, own[-1].at)) <= around]
        if same and near:
            found += [near[-1].grams] * (min(_MOST, group(standing, subject).count) if together else 1)
    return Siblings(median(found), len(found)) if len(found) >= _LEAST else None
