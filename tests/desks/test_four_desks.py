"""Four desks in processes of their own, with kills and a sync program between them, end with one standing."""

from __future__ import annotations

import json
import subprocess
import sys
from pathlib import Path
from typing import Any

from tests.conftest import RecordFigure

PROJECT = Path(__file__).parents[2]


def test_four_desks_killed_at_random_with_a_sync_program_between_them_end_with_the_same_standing(
    tmp_path: Path, record_figure: RecordFigure
) -> None:
    command = [sys.executable, "-m", "tests.desks.four_desks", str(tmp_path), "2500", "40", "20260412"]
    done = subprocess.run(command, cwd=PROJECT, capture_output=True, text=True, timeout=300)
    assert done.returncode == 0, done.stderr
    told: dict[str, Any] = json.loads(done.stdout)
    assert done.stderr == ""
    for report in told["reports"]:
        assert report["lost"] == [], "every acknowledged entry is there"
        assert report["twice"] == 0, "and once only"
        assert report["by news"] == report["anew"], "what came bit by bit is what is read at once"
        assert report["same matters"]
        assert report["ahead"] == 0
        assert report["changed lines"] == []
        # What a kill caught between the disk and the acknowledgement may be there; it is one save a kill at most.
        assert 0 <= report["not acknowledged"] <= 4 * told["kills"]
    assert len(told["digests"]) == 1
    assert len({report["entries"] for report in told["reports"]}) == 1
    assert told["acknowledged twice"] == 0
    # A machine gets another name when the sync program puts an older sheet back; no two ever have the same.
    every = [name for names in told["names"].values() for name in names]
    assert len(every) == len(set(every)) >= 4
    assert told["acknowledged"] >= 2_500
    assert told["kills"] >= 40
    assert told["corrections"] >= 50
    assert told["copies"].keys() >= {"replaced whole", "an older version first", "doubled"}
    record_figure(
        "four desks, killed at random, a sync program between them",
        f"{told['acknowledged']} entries acknowledged in {told['seconds']} s, {told['kills']} kills -9, "
        f"{told['corrections']} corrections, {told['sheets']} sheets, copier: {told['copies']}; "
        "nothing lost, nothing twice",
    )
    record_figure("the digest of the standing at all four desks", told["digests"][0])
