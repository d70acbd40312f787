"""A charge that was weighed and is in no press: what becomes of it where its lot is held, or nobody can press it."""

from __future__ import annotations

import json
from datetime import datetime, timedelta

import pytest

from flatstock.actions.replans import plan_from_now
from flatstock.planning.check import judge
from flatstock.workshop.files import read

HELD = '[[held]]\nlot = "L-2304"\nwhy = "under test"\n'


def go_on(folder, now, *, seconds=3):
    document = plan_from_now(read(folder), now=now, seconds=seconds)
    (folder / "plan.json").write_text(json.dumps(document), "utf-8")
    return document


def aside(document):
    return {one["sheet"]: one for one in document["set_aside"]}


def test_a_charge_of_a_held_lot_is_kept_apart_and_pressed_as_it_was_weighed_once_the_lot_is_released(
    shop, now
):
    (shop / "changes.toml").write_text(HELD, "utf-8")
    held = aside(go_on(shop, now))
    assert set(held) == {"O-103-01", "O-103-02"}
    one = held["O-103-01"]
    assert one["because"] == "lot L-2304 is held"
    assert "apart in a closed bin marked O-103-01, lot L-2304, held" in one["do"][0]
    assert [task["step"] for task in one["tasks"]] == ["weigh"]
    again = go_on(shop, now)  # from a plan that has no such sheet any more
    assert set(aside(again)) == set(held)
    (shop / "changes.toml").unlink()
    released = go_on(shop, now)
    assert aside(released) == {}
    tasks = {task["id"]: task for task in released["tasks"]}
    assert tasks["O-103-01-weigh"]["start"] == one["tasks"][0]["start"]
    assert judge(released) == []


def test_what_lies_apart_is_taken_off_its_lot(shop, now):
    on_file = read(shop).lots["L-2304"].mass
    (shop / "changes.toml").write_text(HELD, "utf-8")
    document = go_on(shop, now)
    apart = sum(part["mass_kg"] for one in document["set_aside"] for part in one["lots"])
    left = next(lot["mass_kg"] for lot in document["lots"] if lot["id"] == "L-2304")
    assert left == pytest.approx(on_file - apart)


def test_what_is_weighed_and_can_be_pressed_by_nobody_any_more_waits_and_the_rest_is_planned(shop, now):
    """Only one trained person is left to the end: the mould in the press is lost, the one in the cooling press not."""
    (shop / "changes.toml").write_text(
        '[[absences]]\nperson = "OP1"\n[[absences]]\nperson = "OP3"\n', "utf-8"
    )
    document = go_on(shop, now)
    assert [one["sheet"] for one in document["given_up"]] == ["O-104-02"]
    waiting = aside(document)
    assert "O-104-03" in waiting  # it lies prepared on the bench
    assert "take back that it was prepared" in " ".join(waiting["O-104-03"]["do"])
    assert {one["id"] for one in document["sheets"]} == {"O-104-01"}
    opened = next(task for task in document["tasks"] if task["id"] == "O-104-01-demould")
    assert datetime.fromisoformat(opened["start"]) >= now
    assert judge(document) == []


def test_a_mould_set_aside_is_empty_once_another_is_prepared_in_its_frame_though_its_line_still_stands(
    shop, now
):
    """O-104-03 lies prepared. Its frame is wanted: another is prepared in it, and nobody takes the line back."""
    plan = json.loads((shop / "plan.json").read_text("utf-8"))
    frame, skins = next((one["frame"], one["skins"]) for one in plan["sheets"] if one["id"] == "O-104-03")
    rows = (shop / "done.csv").read_text("utf-8")
    assert "O-104-03,prepare" in rows
    start, end = now + timedelta(minutes=2), now + timedelta(minutes=7)
    weigh = next(t for t in plan["tasks"] if t["id"] == "O-104-04-weigh")
    rows += f"O-104-04,prepare,{start.isoformat()},{end.isoformat()},BENCH {frame} {skins},OP1\n"
    if "O-104-04,weigh" not in rows:
        rows += f"O-104-04,weigh,{weigh['start']},{weigh['end']},SCALE60,OP1\n"
    (shop / "done.csv").write_text(rows, "utf-8")
    document = plan_from_now(read(shop), now=now + timedelta(minutes=8), seconds=3)
    prepared = {
        t["sheet"]: datetime.fromisoformat(t["start"]) for t in document["tasks"] if t["step"] == "prepare"
    }
    assert prepared["O-104-04"] == start
    assert prepared["O-104-03"] > now + timedelta(minutes=8)  # anew
    weighed = {t["sheet"]: t["start"] for t in document["tasks"] if t["step"] == "weigh"}
    before = next(t["start"] for t in plan["tasks"] if t["id"] == "O-104-03-weigh")
    assert weighed["O-104-03"] == before  # the charge is the same
    assert judge(document) == []
