"""The earliest honest date: what is promised stays, and what a date waits for is found by planning without it."""

from __future__ import annotations

import json
import shutil
from datetime import UTC, datetime, timedelta

import jsonschema
import pytest

from flatstock import schemas
from flatstock.actions.plans import Physics
from flatstock.actions.promises import Wanted, _broken, promise
from flatstock.actions.remembered import digest_of
from flatstock.actions.under_way import week_now
from flatstock.cli import main
from flatstock.errors import Refused
from flatstock.prints.text.promise import promise_text
from flatstock.workshop.files import read
from flatstock.workshop.today import Today
from tests.planning.on_the_way.conftest import done_by

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
    assert code == 2  # a number out of range
    assert "--count" in capsys.readouterr().err


@pytest.fixture
def stuck(planned, tmp_path):
    """Three hours ago a mould was to leave its press, and it is in it still; the sheets that were to be pressed since
    were promised for just when the plan has them ready."""
    folder = tmp_path / "shop"
    shutil.copytree(planned, folder)
    plan = json.loads((folder / "plan.json").read_text("utf-8"))
    loads = sorted(datetime.fromisoformat(t["start"]) for t in plan["tasks"] if t["step"] == "load")
    then = loads[1] + timedelta(minutes=15)
    (folder / "done.csv").write_text(done_by(plan, then), "utf-8")
    for one in plan["sheets"]:
        one["due"] = one["ready"]
    (folder / "plan.json").write_text(json.dumps(plan), "utf-8")
    lines = (folder / "orders.csv").read_text("utf-8").splitlines()
    rows = [line.split(",") for line in lines[1:]]
    text = "\n".join([lines[0], *(",".join([*row[:5], "", *row[6:]]) for row in rows)]) + "\n"
    (folder / "orders.csv").write_text(text, "utf-8")
    plan["remembered"]["digest"] = digest_of(read(folder))
    (folder / "plan.json").write_text(json.dumps(plan), "utf-8")
    return folder, then + timedelta(hours=3)


def test_a_promise_that_is_broken_already_holds_no_date_back_and_is_named_with_what_broke_it(stuck):
    folder, now = stuck
    wanted = Wanted(plastic="hdpe", thickness=0.012, count=2, lots={"L-2301": 1.0})
    document = promise(read(folder), wanted, now=now, seconds=4)
    jsonschema.validate(document, schemas.load("promise"))
    assert document["earliest"] is not None
    said = " ".join(document["because"])
    assert "O-104-02 leaves HP1" in said
    assert "past its latest" in said
    assert "was promised for" in said
    assert "ready then" in said
    assert "flatstock plan FOLDER --from-now" in said


def late_by_a_day(*_, **__):
    """A search that has not come far: the rest of the week with O-104-04 a day late, and no bound."""
    document = {
        "sheets": [], "given_up": [], "tasks": [], "settings": [],
        "proof": {"objective": [{"name": "late_sheets", "value": 1.0, "bound": 0.0}]},
    }  # fmt: skip
    return document, None


def test_a_promise_that_an_unfinished_search_finds_late_is_not_said_to_be_lost(planned):
    """Only a proof says so: here the plan that is kept has every sheet in time."""
    shop = read(planned)
    before = json.loads((planned / "plan.json").read_text("utf-8"))
    physics = Physics(shop, then=Physics(shop))
    week = week_now(physics, before, Today(), MONDAY)
    unkept = _broken(physics, week, before, "", {}, now=MONDAY, seconds=1, plan=late_by_a_day)
    said = " ".join(unkept.words)
    assert "no plan was found that has it ready then" in said
    assert "can't be ready then any more" not in said


def test_where_no_date_is_found_the_words_say_what_stands_in_the_way():
    document = {
        "shop": "X", "count": 2, "plastic": "hdpe", "thickness_mm": 12, "colour": None, "earliest": None,
        "because": ["O-1-01 is given up: nobody was there"], "warnings": [], "cautions": [],
    }  # fmt: skip
    assert "What stands in the way" in promise_text(document)
    assert "O-1-01 is given up: nobody was there." in promise_text(document)
    assert "2 × HDPE 0.472 in" in promise_text(document, "us")
