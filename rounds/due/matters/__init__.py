"""The matters: one function a rule, the rules in tuples by what they look at."""

from __future__ import annotations

from typing import Final

from rounds.due.matters import danger, eggs, laying
from rounds.due.matters.look import CITED, Look, Rule, title

#: Rules that look at an animal that is, or may be, a female old enough to carry.
FEMALE: Final[tuple[Rule, ...]] = (
    laying.no_lay_box,
    laying.lay_box_not_ready,
    laying.nest_too_shallow,
    laying.digging_without_eggs,
    laying.window_past,
    eggs.egg_check_overdue,
    eggs.laying_stopped,
    eggs.heavy_after_laying,
    eggs.off_food_while_carrying,
)

#: Rules that look at any animal.
ANIMAL: Final[tuple[Rule, ...]] = (
    danger.danger_sign,
    danger.looks_dull,
    danger.with_the_vet,
    danger.vet_said,
)

#: Rules that look at young counted together.
GROUP: Final[tuple[Rule, ...]] = (
    danger.danger_sign,
    danger.looks_dull,
    danger.with_the_vet,
    danger.vet_said,
)

ENCLOSURE: Final[tuple[Rule, ...]] = (laying.unknown_digger,)

CLUTCH: Final[tuple[Rule, ...]] = (eggs.eggs_not_boxed, eggs.hatching_overdue)

ROOM: Final[tuple[Rule, ...]] = ()

#: Every rule once, in the order of docs/matters.md.
ALL: Final[tuple[Rule, ...]] = tuple(dict.fromkeys((*FEMALE, *ANIMAL, *GROUP, *ENCLOSURE, *CLUTCH, *ROOM)))

__all__ = ["ALL", "ANIMAL", "CITED", "CLUTCH", "ENCLOSURE", "FEMALE", "GROUP", "ROOM", "Look", "Rule", "title"]
