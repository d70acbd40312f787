"""The earliest honest date: what is promised stays, and what a date waits for is found by planning without it."""

from __future__ import annotations

import shutil
from datetime import UTC, datetime

import jsonschema
import pytest

from flatstock import schemas
from flatstock.actions.promises import Wanted, promise
from flatstock.cli import main
from flatstock.errors import Refused
from flatstock.workshop.files import read

MONDAY = datetime(2026, 3, 2, 6, 30, tzinfo=UTC)


def ask(folder, *, count=2, thickness=0.012, plastic="hdpe", seconds=4):
    wanted = Wanted(plastic=plastic, thickness=thickness, count=count, lots={"L-2301": 1.0})
    return promise(read(folder), wanted, now=MONDAY, seconds=seconds)


def test_a_new_order_gets_a_date_and_nothing_promised_moves(planned):
    before = (planned / "plan.json").read_text("utf-8")
    document = ask(planned)
    jsonschema.validate(document, schemas.load("promise"))
    assert datetime.fromisoformat(document["earliest"]) > MONDAY
    assert sum(day["sheets"] for day in document["by_day"]) == 2
    assert document["because"]
    assert document["moves"] == []
    assert (planned / "plan.json").read_text("utf-8") == before


def test_more_than_one_frame_can_turn_waits_for_frames(planned, tmp_path):
    """Take frames away, and the reason names them."""
    folder = tmp_path / "shop"
    shutil.copytree(planned, folder)
    (folder / "plan.json").unlink()
    orders = (folder / "orders.csv").read_text("utf-8").splitlines()
    (folder / "orders.csv").write_text(orders[0] + "\n", "utf-8")
    text = (folder / "shop.toml").read_text("utf-8")
    assert '"F12-1", "F12-2", "F12-3"' in text
    (folder / "shop.toml").write_text(text.replace('"F12-1", "F12-2", "F12-3"', '"F12-1"'), "utf-8")
    document = ask(folder, count=4, seconds=8)
    assert document["earliest"] is not None
    assert any("12 mm frames" in words for words in document["because"])


def test_what_cannot_be_pressed_is_refused(planned):
    with pytest.raises(Refused):
        ask(planned, plastic="pvc")


def test_no_sheets_are_no_order(planned, capsys):
    code = main(["promise", str(planned), "--plastic", "HDPE", "--thickness", "12mm", "--count", "0"])
    assert code == 1
    assert "--count" in capsys.readouterr().err
