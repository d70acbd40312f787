"""Records are begun when the app is opened, pages read them, and files changed by hand are asked about."""

from __future__ import annotations

import json
import os
import re
import shutil
import subprocess
import sys
import tempfile
from collections.abc import Callable
from pathlib import Path

import httpx
import pytest

from flatstock.actions.lot_book import count_lot, lot_history
from flatstock.web.copying import Copying
from flatstock.web.workplace import Workplace
from tests.web.conftest import MONDAY, Served, demo_folder


@pytest.fixture
def folder(tmp_path: Path) -> Path:
    return demo_folder(tmp_path / "shop")


def test_records_are_begun_when_a_workshop_is_opened(folder: Path) -> None:
    place = Workplace(folder)
    assert place.shop().form == "records"
    assert place.hand_changes() == []
    (entry,) = lot_history(folder, "L-2301")
    assert entry.at.date() == place.shop().today  # a practice workshop's records begin on its own day
    place.close()


def test_a_weighing_is_gone_from_the_store_page_at_once(folder: Path, serve: Callable[..., Served]) -> None:
    served = serve(folder)
    at = "2026-03-02T09:00:00+00:00"
    plan = json.loads((folder / "plan.json").read_text())
    sheet, lot, mass = next(
        (one["id"], part["lot"], part["mass_kg"]) for one in plan["sheets"] for part in one["lots"]
    )
    tap = {"id": "w", "at": at, "noted_at": at, "kind": "weighed", "who": ["OP1"], "sheet": sheet}
    tap["facts"] = {"lot": lot, "mass_kg": mass}
    before = served.app.state.place.shop().lots[lot].mass
    (answer,) = httpx.post(f"{served.address}/floor/taps", json=[tap], timeout=60).json()
    assert answer["outcome"] == "accepted", answer
    after = served.app.state.place.shop().lots[lot].mass
    assert after == pytest.approx(before - mass)
    assert f"{after:g}" in httpx.get(f"{served.address}/store", timeout=60).text


@pytest.mark.parametrize("decision", ["take", "leave"])
def test_a_page_asks_about_a_file_changed_by_hand_until_it_is_decided(
    folder: Path, serve: Callable[..., Served], decision: str
) -> None:
    served = serve(folder)
    httpx.get(f"{served.address}/orders", timeout=60)
    text = (folder / "shop.toml").read_text().replace("daylight_mm = 180", "daylight_mm = 175")
    (folder / "shop.toml").write_text(text)
    page = httpx.get(f"{served.address}/orders", timeout=60).text
    assert "Changed by hand:" in page
    assert "shop.toml" in page
    assert served.app.state.place.shop().hot_presses["HP1"].daylight == pytest.approx(0.18)
    asked = httpx.get(f"{served.address}/shop/by-hand", timeout=60).text
    assert "records: daylight_mm = 180" in asked
    assert "file:    daylight_mm = 175" in asked
    answer = httpx.post(f"{served.address}/shop/by-hand", data={"do": decision}, timeout=60)
    assert answer.status_code == (303 if decision == "take" else 200)
    assert "Changed by hand:" not in httpx.get(f"{served.address}/orders", timeout=60).text
    wanted = 0.175 if decision == "take" else 0.18
    assert served.app.state.place.shop().hot_presses["HP1"].daylight == pytest.approx(wanted)
    if decision == "leave":
        assert (folder / "shop.toml.put-aside").read_text() == text


def test_a_file_that_was_shown_before_a_weighing_is_not_written_over_it(
    folder: Path, serve: Callable[..., Served]
) -> None:
    address = serve(folder).address
    shown = httpx.get(f"{address}/shop/files?name=lots", timeout=60).text
    (was,) = re.findall(r'name="was" value="(\w+)"', shown)
    text = (folder / "lots.csv").read_text()
    count_lot(folder, "L-2301", 400.0, at=MONDAY, who=["OP4"])
    form = {"name": "lots", "text": text, "was": was}
    answer = httpx.post(f"{address}/shop/files", data=form, timeout=60)
    assert answer.status_code == 422
    assert "changed since this page showed it" in answer.text


def test_files_with_faults_are_not_taken_in_and_every_fault_is_said(
    folder: Path, serve: Callable[..., Served]
) -> None:
    served = serve(folder)
    httpx.get(f"{served.address}/orders", timeout=60)
    (folder / "shop.toml").write_text(
        (folder / "shop.toml").read_text().replace("room_C = 18", "room_C = hot")
    )
    answer = httpx.post(f"{served.address}/shop/by-hand", data={"do": "take"}, timeout=60)
    assert answer.status_code == 422
    assert "shop.toml line" in answer.text
    assert served.app.state.place.shop().form == "records"


def test_a_folder_that_cannot_be_written_gets_a_sentence_and_its_files_are_read(tmp_path: Path) -> None:
    folder = Path(tempfile.mkdtemp(prefix="flatstock-shop-")) / "shop"
    demo_folder(folder)
    folder.parent.chmod(0o755)
    folder.chmod(0o555)
    told = (
        "import os, sys; from pathlib import Path; from flatstock.web.workplace import Workplace\n"
        "from flatstock.errors import Refused; from flatstock.web.floorwork import Floorwork\n"
        "Workplace(Path(sys.argv[2])).shop(); place = Workplace(Path(sys.argv[1]))\n"
        "if os.geteuid() == 0: os.setuid(65534)  # nothing is read-only to root\n"
        "print(place.shop().form); print(place.trouble)\n"
        "try: Floorwork(place).board()\n"
        "except Refused as error: print(error)\n"
    )
    try:
        words = [sys.executable, "-c", told, str(folder), str(demo_folder(tmp_path / "warm"))]
        paths = {"PYTHONPATH": os.pathsep.join(sys.path), "FLATSTOCK_CACHE": str(tmp_path)}
        done = subprocess.run(words, capture_output=True, text=True, env=os.environ | paths, check=False)
        assert done.returncode == 0, done.stderr
        assert done.stdout.splitlines()[0] == "files"
        assert "can't be written, so nothing can be noted in it" in done.stdout
        assert "no records to note in; week, orders, cards and the night's stack are read" in done.stdout
        assert not (folder / "records.db").exists()
    finally:
        folder.chmod(0o755)
        shutil.rmtree(folder.parent)


def test_a_copy_is_made_when_an_hour_has_passed_and_not_before(folder: Path) -> None:
    place = Workplace(folder)
    copying = Copying(place)
    copying.look()
    copying.look()
    assert len(list((folder / "backups").glob("*.db"))) == 1
    assert copying.trouble == ""
    place.close()


def test_a_copy_that_fails_is_said_and_the_app_goes_on(folder: Path) -> None:
    (folder / "backups").write_text("in the way")
    place = Workplace(folder)
    copying = Copying(place)
    copying.look()
    assert "the copy can't be made" in copying.trouble
    place.close()
