"""Promise 8 holds what it knows of: every rule that can be for the vet is listed as one."""

from __future__ import annotations

import ast
import inspect
from collections.abc import Iterator

from rounds.due.matters import ALL, Rule
from rounds.due.matters.answered import ALARMS

#: For the vet, and no alarm of their own: what is asked about after a call, and what an alarm's answer was.
ASIDE = {"vet_waits", "alarm_answered"}


def reached(rule: Rule) -> Iterator[ast.AST]:
    """All that a rule and the functions of its module that it calls are made of."""
    module = inspect.getmodule(rule)
    assert module is not None
    functions = {
        one.name: one for one in ast.parse(inspect.getsource(module)).body if isinstance(one, ast.FunctionDef)
    }
    waiting, seen = [rule.__name__], set[str]()
    while waiting:
        name = waiting.pop()
        if name in seen or name not in functions:
            continue
        seen.add(name)
        for node in ast.walk(functions[name]):
            yield node
            if isinstance(node, ast.Name):
                waiting.append(node.id)


def for_the_vet(rule: Rule) -> bool:
    """Whether a rule names a vet's level."""
    return any(isinstance(node, ast.Attribute) and node.attr in ("VET", "VET_NOW") for node in reached(rule))


def test_every_rule_that_can_be_for_the_vet_is_held_to_the_promise() -> None:
    assert {rule.__name__ for rule in ALL if for_the_vet(rule)} == {rule.__name__ for rule in ALARMS} | ASIDE
