"""The benchmarks run and print their table; how fast anything is, is nobody's test."""

import json
import os
import subprocess
import sys
from pathlib import Path

import pytest

from benchmarks.table import Peer, Row, text_table

ROOT = Path(__file__).parents[2]


@pytest.mark.slow
def test_the_quick_run_prints_every_part_beside_its_peers(tmp_path):
    file = tmp_path / "rows.json"
    path = os.pathsep.join([str(ROOT / "src"), os.environ.get("PYTHONPATH", "")])
    done = subprocess.run(
        [sys.executable, "-m", "benchmarks", "--quick", "--json", str(file)],
        cwd=ROOT, env=os.environ | {"PYTHONPATH": path}, capture_output=True, text=True, check=True,
    )  # fmt: skip
    rows = json.loads(file.read_text(encoding="utf-8"))["rows"]
    for row in rows:
        assert row["work"] in done.stdout
        assert row["seconds"] > 0
    for word in (
        "priority rules alone",
        "LSODA",
        "BDF",
        "press cycle",
        "stack of",
        "card with its band",
        "wall chart",
        "--help",
    ):
        assert word in done.stdout


def test_a_peer_stands_under_its_row_as_many_times_slower():
    row = Row(
        work="a cycle", seconds=2e-3, target=1e-3, peers=(Peer(name="somebody", seconds=0.05, target=20),)
    )
    lines = text_table([row]).splitlines()
    assert [cell.strip() for cell in lines[2].split("|")[1:4]] == ["a cycle", "2 ms", "1 ms"]
    assert [cell.strip() for cell in lines[3].split("|")[1:4]] == ["- somebody", "50 ms", "25 x (target 20)"]


@pytest.mark.parametrize("thickness", [0.006, 0.012])
def test_engine_and_peers_race_to_the_same_answer(thickness):
    """Three programs on the same 24 cells: 0.1 %; the marches' tolerances leave 0.02 %."""
    from benchmarks.press_peers import melt_through_bdf, melt_through_lsoda
    from benchmarks.press_rows import engine

    ours = engine(thickness, 24, 0.01)
    assert melt_through_lsoda(thickness, 24, 1e-6, ours) == pytest.approx(ours, rel=1e-3)
    assert melt_through_bdf(thickness, 24, 1e-5) == pytest.approx(ours, rel=1e-3)
