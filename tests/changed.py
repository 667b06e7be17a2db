"""What changed since it left main, checked: format, lint, types, the one way, the tests that know it.

Run it as `python tests/changed.py`, with another base as its argument. The tests are those of the rooms in which
files changed, and each test file that imports or names one of them. Rooms further on that import them are
named; `--far` runs their tests too, `python tests/all.py` runs everything.
"""

from __future__ import annotations

import argparse
import ast
import subprocess
import sys
from collections.abc import Iterable
from functools import cache
from pathlib import Path

TOP = Path(__file__).resolve().parents[1]
BIN = Path(sys.executable).parent
sys.path.insert(0, str(TOP))

from tests.rooms import ROOMS  # noqa: E402


def main() -> int:
    """Run each check to its end; the number of those that failed is the exit code."""
    parser = argparse.ArgumentParser(description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter)
    parser.add_argument("base", nargs="?", default="main", help="what it is held against (main)")
    parser.add_argument("--far", action="store_true", help="the tests of rooms that import what changed, too")
    given = parser.parse_args()
    files = changed_since(given.base)
    if not files:
        print(f"-- nothing changed since {given.base}")
        return 0
    far = rooms_that_import(files)
    tests = known_by(files) | ({test for room in far for test in ROOMS[room].own} if given.far else set())
    code = [name for name in files if name.endswith(".py") and (TOP / name).is_file()]
    failed = [name for name, command in _checks(code, without_inner(tests)) if not _passes(name, command)]
    if far and not given.far:
        print(f"-- not run: {', '.join(far)}, which import what changed (--far)")
    print(f"-- failed: {', '.join(failed)}" if failed else f"-- all passed, {len(files)} files changed")
    return len(failed)


def changed_since(base: str) -> list[str]:
    """Files that differ from where this branch left the base, in the working folder too, new ones among them."""
    left = _git("merge-base", base, "HEAD")
    return sorted({*_git("diff", "--name-only", left[0]), *_git("ls-files", "--others", "--exclude-standard")})


def known_by(files: Iterable[str]) -> set[str]:
    """The test files and folders that know these files."""
    found: set[str] = set()
    for name in files:
        room = room_of(name)
        if room:
            found.update(ROOMS[room].own)
        elif name.startswith("demo_colony/"):
            found.add("tests/demo")
        elif name.endswith("conftest.py"):
            found.add(str(Path(name).parent))
        found.update(_who_knows(name))
    return {test for test in found if test == "tests" or (TOP / test).exists()}


def without_inner(tests: Iterable[str]) -> list[str]:
    """The same without what lies in a folder that is there too."""
    every = set(tests)
    return sorted(test for test in every if not any(str(folder) in every for folder in Path(test).parents))


def rooms_that_import(files: Iterable[str]) -> list[str]:
    """Other rooms that import these modules themselves, lowest first."""
    import grimp

    graph = grimp.build_graph("rounds", cache_dir=str(TOP / ".import_linter_cache"))
    modules = {module_of(name) for name in files} & graph.modules
    # What a package hands on (`from .care import *`) is imported under the package's name.
    modules |= {
        package
        for module in modules
        for package in [module.rpartition(".")[0]]
        if package.count(".") > 1 and package in graph.find_modules_that_directly_import(module)
    }
    rooms = {one.split(".")[1] for module in modules for one in graph.find_modules_that_directly_import(module)}
    return [room for room in ROOMS if room in rooms - {room_of(name) for name in files}]


def room_of(name: str) -> str:
    """The room a file lies in; empty for one outside of rooms."""
    top, _, rest = name.partition("/")
    room = rest.partition("/")[0]
    return room if top == "rounds" and room in ROOMS else ""


def module_of(name: str) -> str:
    """The module a file is imported as."""
    return name.removesuffix(".py").removesuffix("/__init__").replace("/", ".")


def _who_knows(name: str) -> set[str]:
    """Test files that import it, by way of what stands beside tests too, or name it; itself if it is one."""
    found = {name} if _is_test(name) else set()
    asked = {module_of(name)} if name.endswith(".py") else set()
    known: set[str] = set()
    while asked:
        known |= asked
        users = [file for file, imported in _imports().items() if not imported.isdisjoint(asked)]
        found.update(filter(_is_test, users))
        asked = {module_of(file) for file in users if not _is_test(file)} - known
    if not name.endswith(".py"):
        last = name.rpartition("/")[2]
        found.update(file for file in _imports() if _is_test(file) and last in (TOP / file).read_text("utf-8"))
    return found


def _is_test(name: str) -> bool:
    return name.startswith("tests/") and name.rpartition("/")[2].startswith("test_")


@cache
def _imports() -> dict[str, set[str]]:
    """What each file under tests imports of ours."""
    found: dict[str, set[str]] = {}
    for path in sorted((TOP / "tests").rglob("*.py")):
        imported: set[str] = set()
        for node in ast.walk(ast.parse(path.read_text("utf-8"))):
            if isinstance(node, ast.ImportFrom) and node.module:
                imported |= {node.module, *(f"{node.module}.{one.name}" for one in node.names)}
            elif isinstance(node, ast.Import):
                imported |= {one.name for one in node.names}
        found[str(path.relative_to(TOP))] = imported
    return found


def _checks(code: list[str], tests: list[str]) -> Iterable[tuple[str, list[str]]]:
    if code:
        yield "format", [str(BIN / "ruff"), "format", "--check", *code]
        yield "lint", [str(BIN / "ruff"), "check", *code]
        yield "types", [str(BIN / "mypy")]
        yield "one way", [str(BIN / "lint-imports")]
    if tests:
        yield f"tests: {' '.join(tests)}", [sys.executable, "-m", "pytest", *tests]


def _passes(name: str, command: list[str]) -> bool:
    print(f"-- {name}", flush=True)
    return subprocess.run(command, cwd=TOP, check=False).returncode == 0


def _git(*words: str) -> list[str]:
    run = subprocess.run(["git", *words], cwd=TOP, check=True, capture_output=True, text=True)
    return run.stdout.splitlines()


if __name__ == "__main__":
    sys.exit(main())
