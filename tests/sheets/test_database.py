"""The sheets are a TinyDB database: its queries work, and nothing in it can be changed or removed."""

from __future__ import annotations

from pathlib import Path

import pytest
from tinydb import where

from rounds.errors import BadEntry
from rounds.sheets.database import AppendOnly
from rounds.sheets.store import Sheets
from tests.sheets.saves import FIRST_DAY, SECOND_DAY, ids, save


def filled(folder: Path) -> Sheets:
    sheets = Sheets(folder, "rack")
    sheets.append(save(0, 3), FIRST_DAY)
    sheets.append(save(10, 3), SECOND_DAY)
    Sheets(folder, "shelf").append(save(20, 3, by="EM"), SECOND_DAY)
    return sheets


def test_queries_find_entries_of_one_day_and_of_every_day(tmp_path: Path) -> None:
    database = filled(tmp_path).database
    weighed = where("kind") == "weighed"
    assert [found["grams"] for found in database.day(FIRST_DAY).search(weighed)] == [401.0]
    assert sorted(found["id"] for found in database.search(weighed)) == ["ak-000001", "ak-000010", "em-000022"]
    assert len(database) == 9
    assert len(list(database)) == 9
    assert database.tables() == {"2026-03-10", "2026-03-11"}
    assert database.count(where("by") == "EM") == 3


def test_a_document_is_known_by_its_entrys_id(tmp_path: Path) -> None:
    database = filled(tmp_path).database
    found = database.day(FIRST_DAY).get(doc_id="ak-000001")  # type: ignore[call-overload]
    assert found["about"] == "animal/wattle"
    assert found.doc_id == "ak-000001"


def test_inserting_documents_appends_them_in_one_save(tmp_path: Path) -> None:
    sheets = filled(tmp_path)
    table = sheets.database.day(SECOND_DAY)
    document = {"kind": "watered", "at": "2026-03-11T08:00:00+01:00", "by": "AK", "about": "enclosure/b3"}
    assert table.insert({**document, "id": "one"}) == "one"
    assert table.insert_multiple([{**document, "id": "two"}, {**document, "id": "three"}]) == ["two", "three"]
    assert {"one", "two", "three"} <= set(ids(sheets.read()))
    assert len(table) == 9
    with pytest.raises(BadEntry):
        table.insert_multiple([{**document, "id": "four"}, {**document, "kind": "flown"}])
    assert len(table) == 9


def test_nothing_is_updated_removed_or_dropped(tmp_path: Path) -> None:
    sheets = filled(tmp_path)
    before = {path: path.read_bytes() for path in tmp_path.rglob("*.jsonl")}
    database, table = sheets.database, sheets.database.day(FIRST_DAY)
    everything = where("by") == "AK"
    for change in (
        lambda: table.update({"by": "XX"}),
        lambda: table.update({"by": "XX"}, everything),
        lambda: table.update_multiple([({"by": "XX"}, everything)]),
        lambda: table.upsert({"by": "XX"}, everything),
        lambda: table.remove(everything),
        lambda: table.truncate(),
        lambda: database.update({"by": "XX"}),
        lambda: database.truncate(),
        lambda: database.drop_tables(),
        lambda: database.drop_table("2026-03-10"),
        lambda: database.storage.write({}),
    ):
        with pytest.raises(AppendOnly, match="write a `corrected` entry instead"):
            change()
    assert {path: path.read_bytes() for path in tmp_path.rglob("*.jsonl")} == before


def test_an_entry_goes_to_a_day_not_to_every_day(tmp_path: Path) -> None:
    with pytest.raises(TypeError, match="name the day"):
        filled(tmp_path).database.insert(
            {"kind": "watered", "id": "1", "at": "2026-03-11T08:00:00+01:00", "by": "AK", "about": "enclosure/b3"}
        )
