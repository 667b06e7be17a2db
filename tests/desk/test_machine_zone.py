"""The zone offered for a new room is the machine's own, by its name; a machine that does not say one gets UTC."""

from __future__ import annotations

from pathlib import Path

import pytest

from rounds.desk import machine_zone
from rounds.desk.machine_zone import system_zone, told_zone
from rounds.errors import UsageError


@pytest.mark.parametrize(
    ("zone", "name"),
    [
        ("Europe/Vienna", "Europe/Vienna"),
        (":Europe/Vienna", "Europe/Vienna"),
        ("posix/Europe/Vienna", "Europe/Vienna"),
        ("CET-1CEST", "Australia/Adelaide"),
        ("/etc/localtime", "Australia/Adelaide"),
        ("", "Australia/Adelaide"),
    ],
)
def test_a_zone_that_is_set_goes_before_that_of_the_system_if_it_names_one(
    zone: str, name: str, tmp_path: Path
) -> None:
    (tmp_path / "timezone").write_text("Australia/Adelaide\n")
    assert told_zone({"TZ": zone}, tmp_path) == name


def test_a_machine_that_names_no_zone_says_so_and_utc_is_offered(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    (tmp_path / "timezone").write_bytes(b"\xff\xfe")
    with pytest.raises(UsageError, match="--time-zone"):
        told_zone({}, tmp_path)
    monkeypatch.setenv("TZ", "Europe/Vienna")
    assert system_zone() == "Europe/Vienna"

    def silent(_: object) -> str:
        raise UsageError("This system does not tell its time zone")

    monkeypatch.setattr(machine_zone, "told_zone", silent)
    assert system_zone() == "UTC"
