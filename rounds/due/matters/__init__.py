"""The matters: one function a rule, the rules in tuples by what they look at."""

from __future__ import annotations

from typing import Final

from rounds.due.matters import (
    adding_up,
    answered,
    brumation,
    climate,
    clutches,
    company,
    danger,
    digger,
    droppings,
    egg_boxes,
    egg_signs,
    eggs,
    feeding,
    hatching,
    heavy_after,
    incubator,
    laying,
    left_twice,
    newly_hatched,
    overdue,
    regaining,
    room,
    sexing,
    supplies,
    weight,
    young,
)
from rounds.due.matters.look import CITED, NEEDED, Look, Rule, title

#: Rules that look at an animal that is, or may be, a female old enough to be gravid.
FEMALE: Final[tuple[Rule, ...]] = (
    laying.no_lay_box,
    laying.lay_box_not_ready,
    laying.nest_too_shallow,
    laying.digging_without_eggs,
    adding_up.signs_add_up,
    overdue.overdue_to_lay,
    adding_up.window_past,
    eggs.laying_stopped,
    heavy_after.heavy_after_laying,
    regaining.not_regained,
    eggs.egg_check_overdue,
)

#: Rules that look at any female, however young.
PAIRING: Final[tuple[Rule, ...]] = (
    company.should_not_be_together,
    company.young_would_suffer,
    company.pair_together_long,
)

#: Rules that look at an animal, and at young counted together too.
BOTH: Final[tuple[Rule, ...]] = (
    danger.danger_sign,
    danger.looks_dull,
    danger.with_the_vet,
    danger.vet_waits,
    feeding.refused_food,
    droppings.no_droppings,
    droppings.droppings_not_right,
    feeding.looks_thin,
    feeding.stuck_shed,
    weight.weighing_overdue,
    young.not_growing,
    company.fighting,
    room.quarantine,
    room.quarantine_shared,
    room.no_place,
    answered.alarm_answered,
    supplies.appointment,
)

#: Rules that look at any one animal.
ANIMAL: Final[tuple[Rule, ...]] = (
    *BOTH,
    weight.weight_loss,
    weight.brumation_loss,
    danger.brumating_under_treatment,
    newly_hatched.young_in_the_incubator,
    brumation.brumates_unprepared,
    sexing.male_digs_nest,
    young.falls_behind,
)

#: Rules that look at young counted together.
GROUP: Final[tuple[Rule, ...]] = (
    *BOTH,
    young.deaths_in_group,
    newly_hatched.young_in_the_incubator,
    young.falls_behind,
    young.count_does_not_fit,
    left_twice.left_twice,
)

#: Rules that look at an animal or a group that is not here any more.
GONE: Final[tuple[Rule, ...]] = (left_twice.left_twice,)

#: Rules that look at a group whose young went into others or have names of their own: what was for the vet stays.
MOVED_ON: Final[tuple[Rule, ...]] = tuple(
    rule for rule in (*BOTH, *GONE) if rule in (*answered.ALARMS, answered.alarm_answered, *GONE)
)

ENCLOSURE: Final[tuple[Rule, ...]] = (
    digger.unknown_digger,
    answered.alarm_answered,
    company.two_males,
    company.fighting,
    climate.climate_out_of_range,
    climate.climate_not_read,
    incubator.eggs_were_too_hot,
    incubator.eggs_were_too_cold,
    incubator.shelf_drifts,
    egg_boxes.egg_box_dries_fast,
    egg_boxes.egg_box_takes_on_water,
    egg_boxes.egg_box_not_weighed,
)

CLUTCH: Final[tuple[Rule, ...]] = (
    clutches.eggs_not_boxed,
    clutches.clutch_does_not_add_up,
    hatching.eggs_left_behind,
    newly_hatched.young_in_no_group,
    hatching.hatching_late,
    egg_signs.eggs_look_wrong,
    egg_signs.eggs_sweating,
    egg_signs.candled_clear,
    clutches.hatching_overdue,
)

ROOM: Final[tuple[Rule, ...]] = (
    room.deaths_in_room,
    climate.climate_not_read,
    climate.lamp_due,
    supplies.appointment,
)

SUPPLY: Final[tuple[Rule, ...]] = (supplies.runs_out, supplies.stock_not_counted)

#: Every rule once, in the order of docs/matters.md.
ALL: Final[tuple[Rule, ...]] = tuple(
    dict.fromkeys((*FEMALE, *PAIRING, *ANIMAL, *GROUP, *GONE, *ENCLOSURE, *CLUTCH, *ROOM, *SUPPLY))
)

__all__ = [
    "ALL",
    "ANIMAL",
    "CITED",
    "CLUTCH",
    "ENCLOSURE",
    "FEMALE",
    "GONE",
    "GROUP",
    "MOVED_ON",
    "NEEDED",
    "PAIRING",
    "ROOM",
    "SUPPLY",
    "Look",
    "Rule",
    "title",
]
