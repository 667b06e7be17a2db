"""Lines of a sheet as docs/sheets.md has them, made and read without the program under trial."""

from __future__ import annotations

import json
import zlib
from collections.abc import Mapping
from pathlib import Path
from typing import Any

from tests.cases.home import sheets_of


def line_of(members: Mapping[str, Any]) -> bytes:
    """One sound line: the members, then the CRC-32 of all bytes before `,"crc"`."""
    text = json.dumps(members, ensure_ascii=False, separators=(",", ":")).encode()[:-1]
    return text + b',"crc":"%08x"}\n' % zlib.crc32(text)


def sound(line: bytes) -> bool:
    """Whether a line agrees with its check."""
    before, _, check = line.rpartition(b',"crc":"')
    return bool(before) and check == b'%08x"}' % zlib.crc32(before)


def read(file: Path) -> list[dict[str, Any]]:
    """The sound lines of a sheet."""
    return [json.loads(line) for line in file.read_bytes().split(b"\n") if sound(line)]


def grams(file: Path) -> list[float]:
    """The weights on a sheet, in g, in the order of its lines."""
    return [line["grams"] for line in read(file) if line["kind"] == "weighed"]


def weights_in(colony: Path) -> list[float]:
    """The weights on all sheets of a colony, whoever reads them, each entry once."""
    found: dict[str, float] = {}
    for file in sheets_of(colony):
        for line in read(file):
            if line["kind"] == "weighed":
                found.setdefault(line["id"], line["grams"])
    return list(found.values())
