"""A mould in the hot press while the cooling press holds another that can't leave it: what the plan does and says."""

from __future__ import annotations

import json
from datetime import datetime, timedelta

import pytest

from flatstock.actions.replans import plan_from_now
from flatstock.planning.check import judge
from flatstock.workshop.files import read
from tests.planning.on_the_way.conftest import done_by, write_changes

HOT = "O-104-02"  #: in the hot press a quarter of an hour


def at(text):
    return datetime.fromisoformat(text)


def out_of_order(folder, *places, until=None):
    write_changes(folder, "out_of_order", "place", places, until)


def task(document, sheet, step):
    return next((t for t in document["tasks"] if (t["sheet"], t["step"]) == (sheet, step)), None)


@pytest.fixture
def clamped(shop, now):
    """The sheet in the cooling press; it has not been moved on."""
    plan = json.loads((shop / "plan.json").read_text("utf-8"))
    lines = done_by(plan, now).splitlines()
    hot = {line.split(",")[0] for line in lines if ",transfer," in line}
    sheet = next(one for one in sorted(hot) if one != HOT)
    kept = [
        line for line in lines if not line.startswith(sheet) or line.split(",")[1] not in ("move", "demould")
    ]
    (shop / "done.csv").write_text("\n".join(kept) + "\n", "utf-8")
    return sheet


def test_where_a_rack_is_free_the_mould_before_it_is_moved_there_in_time(shop, now, clamped):
    document = plan_from_now(read(shop), now=now, seconds=4)
    assert judge(document) == []
    assert document["given_up"] == []
    figures = next(one for one in document["sheets"] if one["id"] == HOT)
    latest = at(task(document, HOT, "load")["end"]) + timedelta(minutes=figures["dwell_latest_min"])
    assert (
        at(task(document, clamped, "move")["end"]) <= at(task(document, HOT, "transfer")["start"]) <= latest
    )


def test_where_it_can_go_nowhere_in_time_the_mould_behind_it_is_given_up_and_the_plan_says_what_holds_it(
    shop, now, clamped
):
    out_of_order(shop, "R1", "ST1")
    document = plan_from_now(read(shop), now=now, seconds=4)
    (one,) = document["given_up"]
    assert one["sheet"] == HOT
    assert f"CP1 holds {clamped} until" in one["because"]
    assert "at the soonest" in one["because"]
    assert "make room for what is in CP1" in one["do"][0]
    assert judge(document) == []


def test_a_rack_that_works_again_in_time_saves_it(shop, now, clamped):
    out_of_order(shop, "R1", "ST1", until=now + timedelta(minutes=20))
    document = plan_from_now(read(shop), now=now, seconds=4)
    assert document["given_up"] == []
    assert judge(document) == []


def test_where_the_only_rack_is_full_for_too_long_the_mould_behind_is_given_up_and_the_rest_is_planned(
    shop, now, clamped
):
    """That what is in the rack can't leave it sooner nobody counts: no plan is found, so it is given up."""
    text = (shop / "shop.toml").read_text("utf-8")
    assert "moulds_max = 4" in text
    (shop / "shop.toml").write_text(text.replace("moulds_max = 4", "moulds_max = 1"), "utf-8")
    out_of_order(shop, "ST1")
    rows = [("weigh", -120, "SCALE60", "OP1"), ("prepare", -115, "BENCH", "OP1"), ("load", -110, "HP1", "OP1 OP2"),
            ("transfer", -65, "HP1 CP1", "OP1 OP2"), ("move", -22, "CP1 R1 LT1", "OP1")]  # fmt: skip
    lines = [
        line
        for line in (shop / "done.csv").read_text("utf-8").splitlines()
        if not line.startswith("O-102-01")
    ]
    for step, minutes, where, who in rows:
        start = now + timedelta(minutes=minutes)
        end = start + timedelta(minutes=3)
        lines.append(f"O-102-01,{step},{start.isoformat()},{end.isoformat()},{where},{who}")
    (shop / "done.csv").write_text("\n".join(lines) + "\n", "utf-8")
    document = plan_from_now(read(shop), now=now, seconds=4)
    (one,) = document["given_up"]
    assert one["sheet"] == HOT
    assert "no plan was found in which it leaves HP1 in time" in one["because"]
    assert "Heaters of HP1 off" in one["do"][0]
    assert task(document, clamped, "demould") is not None
    assert task(document, "O-102-01", "demould") is not None
    still_to_come = [finding for finding in judge(document) if finding.at is None or finding.at > now]
    assert still_to_come == []
