"""`python -m demo_colony.expected`: what differs from the expected sheets; with --write, write them anew."""

from __future__ import annotations

import difflib
import sys

from demo_colony.expected import FOLDER, sheets


def main(arguments: list[str]) -> int:
    """Compare or write; 1 when something differs."""
    if arguments not in ([], ["--write"]):
        print("usage: python -m demo_colony.expected [--write]", file=sys.stderr)
        return 2
    differs = False
    for name, text in sheets().items():
        path = FOLDER / name
        before = path.read_text(encoding="utf-8") if path.exists() else ""
        differs |= before != text
        difference = difflib.unified_diff(before.splitlines(True), text.splitlines(True), name, name)
        sys.stdout.writelines(difference)
        if arguments:
            path.write_text(text, encoding="utf-8")
    return int(differs and not arguments)


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
