"""What is acknowledged is never lost: killed servers, full disks, folders that can't be written."""

import os
import shutil
import sqlite3
import subprocess
import sys
import tempfile
from collections.abc import Iterator
from contextlib import closing
from pathlib import Path

import pytest

from flatstock.records import open_store
from tests.records.some import an_event

ROOT = Path(__file__).parents[2]
ENOUGH = 500  # acknowledged writes a round, each killed in the middle of the next; thousands in all
ROUNDS = 4


def writer(where: str, name: str, limit: int = 0) -> subprocess.Popen[str]:
    words = [sys.executable, str(Path(__file__).with_name("writer.py")), where, name, str(limit)]
    paths = {"PYTHONPATH": f"{ROOT / 'src'}{os.pathsep}{ROOT}"}
    return subprocess.Popen(words, stdout=subprocess.PIPE, text=True, env=os.environ | paths)


def kept(where: str) -> set[str]:
    with open_store(where) as store:
        return {event.id for _, event in store.events()}


@pytest.mark.slow
def test_a_server_killed_while_it_writes_loses_no_acknowledged_event(where: str):
    acknowledged: set[str] = set()
    for round_ in range(ROUNDS):
        with writer(where, f"r{round_}") as process:
            assert process.stdout is not None
            for _ in range(ENOUGH):
                acknowledged.add(process.stdout.readline().strip())
            process.kill()
            acknowledged |= {
                line.strip() for line in process.stdout.read().splitlines(keepends=True) if line[-1:] == "\n"
            }
    assert len(acknowledged) >= ROUNDS * ENOUGH
    assert acknowledged <= kept(where)


def test_a_killed_writer_leaves_a_file_that_passes_its_integrity_check(tmp_path: Path):
    with writer(str(tmp_path), "a") as process:
        assert process.stdout is not None
        for _ in range(50):
            process.stdout.readline()
        process.kill()
    with closing(sqlite3.connect(tmp_path / "records.db")) as db:
        assert db.execute("pragma integrity_check").fetchall() == [("ok",)]
        assert db.execute("pragma foreign_key_check").fetchall() == []


def test_a_full_disk_gets_a_sentence_and_loses_nothing(tmp_path: Path):
    with writer(str(tmp_path), "a", limit=2_000_000) as process:
        assert process.stdout is not None
        *acknowledged, last = process.stdout.read().splitlines()
    assert process.returncode == 0
    assert "the disk is full or failing: nothing of this was kept" in last
    assert len(acknowledged) > 10
    assert set(acknowledged) <= kept(str(tmp_path))


@pytest.fixture
def folder() -> Iterator[Path]:
    """A folder that others may look into."""
    made = Path(tempfile.mkdtemp(prefix="flatstock-shop-"))
    yield made
    made.chmod(0o755)
    shutil.rmtree(made)


def test_records_in_a_folder_that_cannot_be_written_are_read_and_left_alone(folder: Path):
    with open_store(folder) as store:
        store.append([an_event()])
    (folder / "records.db").chmod(0o444)
    folder.chmod(0o555)
    told = (
        "import os, sys, tempfile; from flatstock.records import open_store; from flatstock.errors import Refused\n"
        "from tests.records.some import an_event\n"
        "with tempfile.TemporaryDirectory() as other, open_store(other) as warm: warm.append([an_event()])\n"
        "if os.geteuid() == 0: os.setuid(65534)  # nothing is read-only to root\n"
        "store = open_store(sys.argv[1]); print(store.last(), store.read_only)\n"
        "try: store.append([an_event('b')])\n"
        "except Refused as error: print(error)\n"
    )
    words = [sys.executable, "-c", told, str(folder)]
    paths = {"PYTHONPATH": f"{ROOT / 'src'}{os.pathsep}{ROOT}"}
    done = subprocess.run(words, capture_output=True, text=True, env=os.environ | paths, check=False)
    assert done.returncode == 0, done.stderr
    first, second = done.stdout.splitlines()
    assert first == "1 True"
    assert "can't be written, so nothing of this was kept" in second
    assert kept(str(folder)) == {"E-1"}
