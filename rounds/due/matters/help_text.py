"""The help text of each matter, and docs/matters.md, made from the rules themselves so that they cannot differ."""

from __future__ import annotations

from inspect import cleandoc
from typing import Final

from rounds.due import matters as rules
from rounds.due.matters.look import CITED, Rule, title
from rounds.rules.house import GRADES, House

_INTRO: Final = """\
# The matters

A matter is something that needs attention. It says what was seen or reckoned, by which rule and whose number,
what to do, and when it turns worse. Nothing here is veterinary advice: local codes and a licensed vet come
first, and where a number is a house rule it is to be agreed with your vet. No drug and no dose is ever named:
those are the vet's.

| level | meaning |
|---|---|
| watch | look at it on each walk |
| today | do something about it today |
| vet | a vet should see the animal, by the deadline if there is one |
| vet now | phone a vet now, day or night |

A matter can be **acknowledged**: a keeper has read it and taken it on. It stays open, and asks again at a worse
level. It can be **put off** until a day, with the reason; it comes back on that day, or at once when its level
gets worse than it was then. A vet matter can be put off to tomorrow at the latest. What is vet now, and any danger
sign, cannot be put off, and a new danger sign asks again.

A matter at vet or vet now comes down only by what answers it: enough eggs (a danger sign: not by eggs), a vet's
visit or call after it, a correction of the entry behind it, a death or a leaving. It also goes when another vet
matter of the same animal says the same: one cause, one matter. What brought it down stays readable for three days.

**Enough eggs** are half of her usual clutch or more; where her usual is not known, 10 or more.

A matter is named by its rule, its subject and the day on which it began (`no lay box animal/wattle 2026-04-12`),
so that an answer counts for this one and not for the next of its kind. Entries dated later than now do not count.

Each section below is one rule: its help text, and the house rules it rests on with their defaults, grade and
source. Where no house rule stands, the matter rests on entries alone, with no number behind it.

{grades}
"""
_PARTS: Final = (
    ("Females: from mating to eggs", rules.FEMALE),
    ("Females: company", rules.PAIRING),
    ("Any animal; most of them young counted together too", rules.ANIMAL),
    ("Young counted together", rules.GROUP),
    ("Enclosures", rules.ENCLOSURE),
    ("Clutches", rules.CLUTCH),
    ("The room", rules.ROOM),
    ("Supplies", rules.SUPPLY),
)


def help_of(rule: Rule) -> tuple[str, ...]:
    """The help text of a matter, paragraph by paragraph, each on one line."""
    text = cleandoc(rule.__doc__ or "")
    return tuple(" ".join(part.split()) for part in text.split("\n\n"))


def rule_named(name: str) -> Rule | None:
    """The rule of this matter's name (`no lay box`), if there is one."""
    return next((rule for rule in rules.ALL if title(rule) == name), None)


def page(house: House) -> str:
    """docs/matters.md, with the numbers of a house (the defaults, for the page in docs)."""
    grades = "\n".join(f"- grade {grade}: {meaning}" for grade, meaning in GRADES.items())
    lines = [_INTRO.format(grades=grades)]
    done: set[str] = set()
    for heading, part in _PARTS:
        new = [rule for rule in part if rule.__name__ not in done]
        done.update(rule.__name__ for rule in new)
        lines.append(f"## {heading}\n")
        for rule in new:
            lines.append(f"### {title(rule)}\n")
            lines.extend(f"{paragraph}\n" for paragraph in help_of(rule))
            cited = [f"- {house.rule(key).cite()}" for key in CITED[rule.__name__]]
            lines.append("\n".join(cited) + "\n" if cited else "No house rule stands behind it.\n")
    return "\n".join(lines).rstrip() + "\n"
