"""No file imports another that imports it, by whatever way round: each can be read from the bottom up."""

from __future__ import annotations

import ast
from collections.abc import Mapping
from graphlib import CycleError, TopologicalSorter
from pathlib import Path

import pytest

TOP = Path(__file__).resolve().parents[2]


def modules(folder: Path) -> dict[str, Path]:
    """The files of a package by their dotted names."""
    return {
        ".".join(path.relative_to(folder.parent).with_suffix("").parts).removesuffix(".__init__"): path
        for path in sorted(folder.rglob("*.py"))
    }


def imported(name: str, path: Path, known: Mapping[str, Path]) -> set[str]:
    """Which of the files a file imports: at its top, in a function, or for its types only."""
    package = name.split(".") if path.name == "__init__.py" else name.split(".")[:-1]
    found: set[str] = set()
    for node in ast.walk(ast.parse(path.read_text(encoding="utf-8"))):
        if isinstance(node, ast.Import):
            found.update(alias.name for alias in node.names)
        elif isinstance(node, ast.ImportFrom):
            above = package[: len(package) + 1 - node.level] if node.level else []
            base = ".".join([*above, *([node.module] if node.module else [])])
            for alias in node.names:
                whole = f"{base}.{alias.name}"
                found.add(whole if whole in known else base)
    return found & known.keys() - {name}


def circle(graph: Mapping[str, set[str]]) -> list[str]:
    """The names of a circle, each importing the next and the last the first; empty when there is none."""
    try:
        TopologicalSorter(graph).prepare()
    except CycleError as error:
        return list(reversed(error.args[1]))  # graphlib tells it from the imported to the importing
    return []


def graph_of(folder: Path) -> dict[str, set[str]]:
    known = modules(folder)
    return {name: imported(name, path, known) for name, path in known.items()}


def test_no_file_of_the_program_is_in_a_circle_with_another() -> None:
    graph = graph_of(TOP / "rounds")
    assert len(graph) > 150
    assert circle(graph) == []


@pytest.mark.parametrize(
    ("files", "names"),
    [
        ({"a.py": "import shed.b", "b.py": "import os"}, set()),
        ({"a.py": "import shed.b", "b.py": "def late():\n    from shed import a"}, {"shed.a", "shed.b"}),
        (
            {
                "a.py": "from typing import TYPE_CHECKING\nif TYPE_CHECKING:\n    from .b import x",
                "b.py": "from . import a",
            },
            {"shed.a", "shed.b"},
        ),
        (
            {
                "__init__.py": "from shed.a import x",
                "a.py": "from shed.b.c import x",
                "b/c.py": "from shed import x",
            },
            {"shed", "shed.a", "shed.b.c"},
        ),
        ({"__init__.py": "", "a.py": "from shed import b", "b.py": "from shed.a import x"}, {"shed.a", "shed.b"}),
    ],
    ids=["one way", "late", "for types", "through the package", "a file or a name of the package"],
)
def test_a_circle_is_found_and_named(files: dict[str, str], names: set[str], tmp_path: Path) -> None:
    for name, text in files.items():
        path = tmp_path / "shed" / name
        path.parent.mkdir(parents=True, exist_ok=True)
        path.write_text(text)
    assert set(circle(graph_of(tmp_path / "shed"))) == names
