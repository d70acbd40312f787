"""Wet flake goes through a dryer before it is weighed: how long, where, how much at once, and how soon it is pressed."""

from datetime import UTC, datetime, timedelta
from itertools import pairwise

import pytest

from flatstock.actions.plans import plan_week
from flatstock.actions.workshops import open_workshop
from flatstock.demo import copy_to
from flatstock.planning.check import judge
from flatstock.planning.problem.drying import KEEPS, drying_of
from flatstock.workshop.files import read

MONDAY = datetime(2026, 3, 2, 7, 0, tzinfo=UTC)
HEAD = "id,what,plastic,colour,thickness_mm,sheets,due,condition_h,lots,offcuts,note\n"
DRY, WET = ",12,,0.05,,hdpe 3 %", ",12,,0.35,,hdpe 3 %"


def shop_with(folder, *, orders, dryer="load_max_kg = 40", wet=True):
    copy_to(folder)
    lots = (folder / "lots.csv").read_text("utf-8")
    assert DRY in lots
    (folder / "lots.csv").write_text(lots.replace(DRY, WET) if wet else lots, "utf-8")
    shop = (folder / "shop.toml").read_text("utf-8")
    (folder / "shop.toml").write_text(shop.replace("load_max_kg = 40\n", dryer + "\n"), "utf-8")
    (folder / "orders.csv").write_text(HEAD + orders, "utf-8")
    return open_workshop(folder)


@pytest.fixture(scope="module")
def wet_week(tmp_path_factory):
    """Four planters of wet flake, and a dryer that takes two charges at once."""
    orders = "A,planter,pp,green,6,4,2026-03-06T15:00,0,L-2304 100 %,,\n"
    shop = shop_with(tmp_path_factory.mktemp("wet") / "shop", orders=orders, dryer="load_max_kg = 12")
    return plan_week(shop, now=MONDAY, seconds=8)


def at(text):
    return datetime.fromisoformat(text)


def steps(document, name):
    return {one["sheet"]: one for one in document["tasks"] if one["step"] == name}


def test_a_charge_of_wet_flake_is_dried_before_it_is_weighed_and_pressed_soon_after(wet_week):
    dried, weighed, loaded = (steps(wet_week, name) for name in ("dry", "weigh", "load"))
    assert set(dried) == {sheet["id"] for sheet in wet_week["sheets"]}
    for sheet, task in dried.items():
        assert task["places"] == ["DR1"]
        assert at(task["end"]) - at(task["start"]) == timedelta(hours=2)
        assert at(weighed[sheet]["start"]) >= at(task["end"])
        assert at(loaded[sheet]["start"]) <= at(task["end"]) + timedelta(minutes=KEEPS)


def test_a_dryer_is_filled_load_by_load_and_never_beyond_its_mass(wet_week):
    charges = {sheet["id"]: sheet["charge_kg"] for sheet in wet_week["sheets"]}
    loads = {}
    for sheet, task in steps(wet_week, "dry").items():
        loads.setdefault((task["start"], task["end"]), []).append(charges[sheet])
    assert all(sum(load) <= 12 for load in loads.values())
    spans = sorted((at(a), at(b)) for a, b in loads)
    assert all(before[1] <= after[0] for before, after in pairwise(spans))


def test_a_dryer_runs_only_while_somebody_is_there(wet_week):
    people = [one for one in wet_week["resources"] if one["kind"] == "person"]
    for task in steps(wet_week, "dry").values():
        at_work = sorted((at(s["start"]), at(s["end"])) for one in people for s in one["present"])
        covered = at(task["start"])
        for start, end in at_work:
            covered = max(covered, end) if start <= covered else covered
        assert covered >= at(task["end"])


def test_a_plan_with_drying_passes_the_judge_and_the_heat_model(wet_week):
    assert judge(wet_week) == []
    assert {one["verdict"] for one in wet_week["rehearsal"]["sheets"]} == {"good"}
    assert any("L-2304 with 0.35 % water: dried 120 min in DR1" in one for one in wet_week["warnings"])


def test_dry_flake_goes_to_the_scale_at_once(tmp_path):
    orders = "A,planter,pp,green,6,1,2026-03-06T15:00,0,L-2304 100 %,,\n"
    document = plan_week(shop_with(tmp_path / "shop", orders=orders, wet=False), now=MONDAY, seconds=5)
    assert steps(document, "dry") == {}


def test_a_plastic_that_always_needs_it_is_told_where_no_dryer_is_warm_enough(tmp_path):
    copy_to(tmp_path / "shop")
    shop = read(tmp_path / "shop")
    found = drying_of(shop, "abs", ["L-2306"], 6.7)
    assert found.minutes == {}
    assert "80 °C or more" in found.said[0]
    assert "no dryer on file" in found.said[0]


def test_a_warmer_dryer_dries_it_for_as_long_as_the_plastic_takes(tmp_path):
    folder = tmp_path / "shop"
    copy_to(folder)
    text = (folder / "shop.toml").read_text("utf-8").replace("temperature_C = 65", "temperature_C = 85")
    (folder / "shop.toml").write_text(text, "utf-8")
    assert drying_of(read(folder), "abs", ["L-2306"], 6.7).minutes == {"DR1": 180}
