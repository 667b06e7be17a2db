"""Which mutants are worth their seconds: near misses in code that runs, each place once, drawn by a seed.

A near miss is what a slip of the hand writes: `<` for `<=`, 43 for 42, `and` for `or`, a `not` too many. The
tool also offers `%` for `+`, which falls over in every test: it would only flatter the figure.
"""

from __future__ import annotations

import ast
import random
from collections.abc import Iterable, Mapping
from typing import NamedTuple

_COMPARED = {
    "Lt": ("LtE", "GtE"),
    "LtE": ("Lt", "Gt"),
    "Gt": ("GtE", "LtE"),
    "GtE": ("Gt", "Lt"),
    "Eq": ("NotEq",),
    "NotEq": ("Eq",),
    "Is": ("IsNot",),
    "IsNot": ("Is",),
}
_RECKONED = {
    "Add": "Sub",
    "Sub": "Add",
    "Mul": "Div",
    "Div": "Mul",
    "FloorDiv": "Mul",
    "Mod": "Add",
    "BitOr": "BitAnd",
    "BitAnd": "BitOr",
    "LShift": "RShift",
    "RShift": "LShift",
}
NEAR = frozenset(
    {
        "core/AddNot",
        "core/ExceptionReplacer",
        "core/NumberReplacer",
        "core/RemoveDecorator",
        "core/ReplaceAndWithOr",
        "core/ReplaceOrWithAnd",
        "core/ReplaceBreakWithContinue",
        "core/ReplaceContinueWithBreak",
        "core/ReplaceFalseWithTrue",
        "core/ReplaceTrueWithFalse",
        "core/ReplaceUnaryOperator_Delete_Not",
        "core/ReplaceUnaryOperator_USub_UAdd",
        "core/ZeroIterationForLoop",
        *(
            f"core/ReplaceComparisonOperator_{sign}_{other}"
            for sign, others in _COMPARED.items()
            for other in others
        ),
        *(f"core/ReplaceBinaryOperator_{sign}_{other}" for sign, other in _RECKONED.items()),
    }
)


class Mutant(NamedTuple):
    """A mistake the tool can make: where it starts, what it does, and which of its kind in that file."""

    path: str
    row: int
    column: int
    operator: str
    occurrence: int
    id: str


def sample(mutants: Iterable[Mutant], sources: Mapping[str, str], each: int | None, seed: int) -> list[Mutant]:
    """At most `each` near misses (None: all), a place at most once unless all are wanted, by place."""
    types = {path: _of_types(source) for path, source in sources.items()}
    signs = {path: _of_signs(source) for path, source in sources.items()}
    near = sorted(
        mutant
        for mutant in mutants
        if mutant.operator in NEAR
        and not _within(types[mutant.path], (mutant.row, mutant.column))
        # To the tool the star of a signature is a sign of reckoning too.
        and ("Binary" not in mutant.operator or _within(signs[mutant.path], (mutant.row, mutant.column)))
    )
    if each is None:
        return near
    random.Random(seed).shuffle(near)
    places: dict[tuple[str, int, int], Mutant] = {}
    for mutant in near:
        places.setdefault((mutant.path, mutant.row, mutant.column), mutant)
    return sorted(list(places.values())[:each])


_Span = tuple[tuple[int, int], tuple[int, int]]


def _of_types(source: str) -> list[_Span]:
    """Annotations, unions of types, what a class is declared with: mypy's business, nothing of it runs."""
    found: list[ast.expr | None] = []
    for node in ast.walk(ast.parse(source)):
        match node:
            case ast.arg() | ast.AnnAssign():
                found.append(node.annotation)
            case ast.FunctionDef() | ast.AsyncFunctionDef():
                found.append(node.returns)
            case ast.ClassDef():
                found += [keyword.value for keyword in node.keywords]
            case ast.If(test=ast.Name(id="TYPE_CHECKING")):
                found.append(node.test)
            case ast.Assign(value=ast.BinOp(op=ast.BitOr(), right=ast.Name() | ast.Constant(value=None))):
                found.append(node.value)
    return [((node.lineno, node.col_offset), _end(node)) for node in found if node is not None]


def _of_signs(source: str) -> list[_Span]:
    """Where the signs of a sum, a product and the like stand: between their two sides."""
    return [
        (_end(node.left), (node.right.lineno, node.right.col_offset))
        for node in ast.walk(ast.parse(source))
        if isinstance(node, ast.BinOp)
    ]


def _end(node: ast.expr) -> tuple[int, int]:
    return node.end_lineno or node.lineno, node.end_col_offset or node.col_offset


def _within(spans: Iterable[_Span], place: tuple[int, int]) -> bool:
    return any(start <= place < end for start, end in spans)
