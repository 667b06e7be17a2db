"""The colony's own changes to house rules: each checked, each refused with a sentence a keeper can act on."""

from __future__ import annotations

import re
from collections.abc import Iterable, Iterator, Mapping
from datetime import date, datetime
from typing import Any, Final

from msgspec.structs import replace

from rounds.errors import BadRule
from rounds.rules.default import Default
from rounds.rules.house import Rule, Value
from rounds.rules.recurrence import checked

#: Units that are counted, so that halves make no sense.
_COUNTED: Final = frozenset(
    {
        "days",
        "weeks",
        "months",
        "years",
        "times",
        "times a day",
        "weighings",
        "eggs",
        "young",
        "o'clock",
        "animals",
        "points",
    }
)
_MEMBERS: Final = ("value", "source", "unit", "begins")
#: Compiled when a mistake is told.
_NUMBER_AND_UNIT: Final = r"\s*[-+]?\d+(?:[.,]\d+)?\s*(\S.*)?"
_LIST: Final = "docs/house-rules.md lists them all"


def changed_rules(defaults: Mapping[str, Default], table: object) -> dict[str, Rule]:
    """All rules, the changes of colony.toml's `house_rules` table among them.

    Raises `BadRule` for a key that is no rule, a value of the wrong sort, unit or size, a band the
    wrong way round, a recurrence rule that cannot be followed, or two rules that contradict each other.
    """
    rules = {key: default.rule for key, default in defaults.items()}
    if not isinstance(table, dict):
        raise BadRule("colony.toml, house_rules: this wants a table; write [house_rules] on a line of its own")
    for key, value in _flat(table, rules):
        if key not in rules:
            raise BadRule(f"colony.toml, house_rules: {key[:80]!r} is no house rule{nearest(key, rules)} ({_LIST})")
        if rules[key].changed:
            raise BadRule(f"colony.toml, house_rules: {key} is set twice; keep one of the two")
        rules[key] = _changed(rules[key], value)
    for key, default in defaults.items():
        if default.below is not None:
            _check_order(rules[key], rules[default.below])
    return rules


def nearest(word: str, words: Iterable[str]) -> str:
    """`; did you mean …?` when one of the words is close to what was written, else nothing."""
    # Only a mistake pays for difflib.
    from difflib import get_close_matches

    found = get_close_matches(word[:80], list(words), n=1, cutoff=0.6)
    return f"; did you mean {found[0]}?" if found else ""


def _flat(table: dict[str, Any], rules: Mapping[str, Rule], before: str = "") -> Iterator[tuple[str, Any]]:
    """Dotted keys and their values, whether written as dotted keys, in quotes, or as nested tables."""
    for name, value in table.items():
        key = before + name
        if key not in rules and isinstance(value, dict) and "value" not in value and value and key.count(".") < 3:
            yield from _flat(value, rules, key + ".")
        else:
            yield key, value


def _changed(rule: Rule, value: object) -> Rule:
    source, begins = "set in colony.toml", None
    if isinstance(value, dict):
        for name in value:
            if name not in _MEMBERS:
                raise _bad(rule, f"{name[:80]!r} means nothing here; a rule may have {', '.join(_MEMBERS)}")
        if "value" not in value:
            raise _bad(rule, f"it lacks its value; write value = {_example(rule)}")
        source = value.get("source", source)
        if not isinstance(source, str) or not source.strip() or len(source) > 500:
            raise _bad(rule, 'source wants a few words in quotes, such as source = "our vet, 2026"')
        unit = value.get("unit", rule.unit)
        if unit != rule.unit:
            raise _bad(rule, f"it is in {rule.unit}, not in {str(unit)[:40]!r}; give the value in {rule.unit}")
        begins = value.get("begins")
        if begins is not None and (isinstance(begins, datetime) or not isinstance(begins, date)):
            raise _bad(rule, "begins wants a day without quotes, such as begins = 2026-03-02")
        value = value["value"]
        if begins is not None and not isinstance(value, str):
            raise _bad(rule, "begins belongs to a recurrence rule only; leave it away")
    new = _value(rule, value, begins)
    grade = rule.grade if new == rule.value else "house"
    unit = "" if isinstance(new, str) else rule.unit
    return replace(rule, value=new, unit=unit, grade=grade, source=source, changed=True, begins=begins)


def _value(rule: Rule, value: object, begins: date | None) -> Value:
    if isinstance(rule.value, str):
        raise _bad(rule, "this one stands as it is and cannot be changed")
    if isinstance(rule.value, tuple):
        return _band(rule, value)
    if isinstance(value, str):
        return _recurrence(rule, value, begins)
    return _number(rule, value)


def _band(rule: Rule, value: object) -> tuple[float, float]:
    if not isinstance(value, list) or len(value) != 2:
        raise _bad(rule, f"it is a band with two ends; write {_example(rule)}")
    low, high = (_number(rule, end) for end in value)
    if low > high:
        raise _bad(rule, f"the band is the wrong way round; write [{high:g}, {low:g}]")
    return (float(low), float(high))


def _number(rule: Rule, value: object) -> int | float:
    if isinstance(value, bool) or not isinstance(value, int | float):
        raise _bad(rule, f"it is a number in {rule.unit}; write {_example(rule)}")
    assert rule.least is not None
    assert rule.most is not None
    # Written so that "not a number", which TOML allows, is refused too.
    if not rule.least <= value <= rule.most:
        shown = f"{value:g}" if abs(value) < 1e9 else "this"
        raise _bad(rule, f"{shown} makes no sense; give {rule.least:g} to {rule.most:g} {rule.unit}")
    if rule.unit in _COUNTED and value != int(value):
        raise _bad(rule, f"{value:g} makes no sense; give a whole number of {rule.unit}")
    return int(value) if rule.unit in _COUNTED else value


def _recurrence(rule: Rule, value: str, begins: date | None) -> str:
    if re.fullmatch(_NUMBER_AND_UNIT, value) or not rule.calendar:
        raise _bad(rule, f"it is a number in {rule.unit}, without quotes or unit; write {_example(rule)}")
    try:
        return checked(value, begins)
    except ValueError as error:
        raise _bad(rule, f"as a recurrence rule it cannot be followed: {error}") from error


def _check_order(lower: Rule, upper: Rule) -> None:
    if isinstance(lower.value, str) or isinstance(upper.value, str):
        return
    high = lower.value[1] if isinstance(lower.value, tuple) else lower.value
    low = upper.value[0] if isinstance(upper.value, tuple) else upper.value
    if high >= low:
        wrong = upper if upper.changed and not lower.changed else lower
        other = lower if wrong is upper else upper
        side = "above" if wrong is upper else "below"
        raise _bad(
            wrong, f"{wrong.shown()} has to stay {side} {other.key}, which is {other.shown()}; change either"
        )


def _example(rule: Rule) -> str:
    if isinstance(rule.value, tuple):
        return f"[{rule.value[0]:g}, {rule.value[1]:g}]"
    return f"{rule.value:g}" if isinstance(rule.value, int | float) else rule.value


def _bad(rule: Rule, reason: str) -> BadRule:
    return BadRule(f"colony.toml, house_rules, {rule.key} ({rule.says} …): {reason}")
