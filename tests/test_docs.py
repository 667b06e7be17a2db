"""The pages that the program makes are as it would make them now."""

from __future__ import annotations

from pathlib import Path

import pytest

from tests import docs

PROJECT = Path(__file__).parents[1]


@pytest.mark.parametrize("name", [*docs.PAGES, *docs.MEASURED])
def test_a_page_that_is_made_is_as_the_program_has_it_now(name: str) -> None:
    assert docs.difference(name) == "", f"make it again: python -m tests.docs {name}"


def test_a_page_that_differs_is_shown_and_made_again_and_another_is_left_alone(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    for name in docs.PAGES:
        (tmp_path / f"{name}.md").write_bytes(docs.path(name).read_bytes())
    right = docs.path("entries").read_text(encoding="utf-8")
    monkeypatch.setattr(docs, "FOLDER", tmp_path)
    assert docs.main(["--check", *docs.PAGES]) == 0
    wrong = right.replace("## weighed\n", "## weihged\n")
    for name in ("entries", "matters"):
        docs.path(name).write_text(wrong, encoding="utf-8")
    assert docs.main(["--check", "entries"]) == 1
    assert "\n-## weihged\n" in capsys.readouterr().out
    assert docs.main(["entries"]) == 0
    assert docs.path("entries").read_text(encoding="utf-8") == right
    assert docs.path("matters").read_text(encoding="utf-8") == wrong


def test_a_page_that_is_none_is_refused(capsys: pytest.CaptureFixture[str]) -> None:
    with pytest.raises(SystemExit):
        docs.main(["keyz"])
    assert "no such page: keyz; there are entries, " in capsys.readouterr().err
