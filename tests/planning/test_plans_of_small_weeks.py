"""Whole plans, from files to a judged document, on weeks small enough to be settled in seconds."""

import json
from datetime import UTC, datetime

import pytest

from flatstock.actions.plans import plan_week
from flatstock.actions.workshops import open_workshop
from flatstock.cli.app import main
from flatstock.demo import copy_to
from flatstock.errors import Refused
from flatstock.planning.check import judge

HEAD = "id,what,plastic,colour,thickness_mm,sheets,due,condition_h,lots,note\n"
MONDAY = datetime(2026, 3, 2, 7, 0, tzinfo=UTC)


def shop_with(folder, *orders):
    copy_to(folder)
    (folder / "orders.csv").write_text(HEAD + "\n".join(orders) + "\n", "utf-8")
    return open_workshop(folder)


@pytest.fixture(scope="module")
def two_colours(tmp_path_factory):
    folder = tmp_path_factory.mktemp("plan") / "shop"
    shop = shop_with(
        folder,
        "A,panel,hdpe,dark,12,2,2026-03-03T15:00,0,L-2301 100 %,",
        "B,sign,hips,white,6,1,2026-03-03T15:00,0,L-2305 100 %,",
    )
    return plan_week(shop, now=MONDAY, seconds=12)


def test_a_plan_passes_a_judge_that_knows_only_the_document(two_colours):
    assert judge(json.loads(json.dumps(two_colours))) == []


def test_every_sheet_ordered_is_pressed_in_time(two_colours):
    assert len(two_colours["sheets"]) == 3
    assert [sheet["late_min"] for sheet in two_colours["sheets"]] == [0, 0, 0]
    assert two_colours["left_out"] == []


def test_every_sheet_is_good_in_the_heat_model(two_colours):
    assert {one["verdict"] for one in two_colours["rehearsal"]["sheets"]} == {"good"}
    for one in two_colours["rehearsal"]["sheets"]:
        assert one["core_at_transfer_C"] >= 165  # melt-through of HDPE and HIPS
        assert one["core_at_demould_C"] <= 50


def test_bounds_never_lie_beyond_what_was_found(two_colours):
    for goal in two_colours["proof"]["objective"]:
        assert goal["bound"] <= goal["value"] + 1e-6


def test_the_saw_rests_while_the_heaters_are_on(two_colours):
    hot = [(s["start"], s["kind"]) for s in two_colours["settings"] if s["kind"] in ("heat_up", "off")]
    spans = list(zip([t for t, k in hot if k == "heat_up"], [t for t, k in hot if k == "off"], strict=True))
    cuts = [task for task in two_colours["tasks"] if task["step"] == "trim"]
    assert cuts
    assert all(cut["end"] <= on or cut["start"] >= off for cut in cuts for on, off in spans)


def test_a_due_date_that_nothing_can_keep_comes_out_late_by_the_minutes_it_is(tmp_path):
    shop = shop_with(tmp_path / "shop", "A,panel,hdpe,dark,12,1,2026-03-02T08:00,0,L-2301 100 %,")
    document = plan_week(shop, now=MONDAY, seconds=10)
    (sheet,) = document["sheets"]
    late = datetime.fromisoformat(sheet["ready"]) - datetime(2026, 3, 2, 8, 0, tzinfo=UTC)
    assert sheet["late_min"] == late.total_seconds() / 60 > 60
    assert document["late"][0]["order"] == "A"


def test_an_order_of_what_must_not_be_pressed_is_left_out_with_the_reason(tmp_path):
    shop = shop_with(
        tmp_path / "shop",
        "A,panel,hdpe,dark,12,1,2026-03-06T15:00,0,L-2301 100 %,",
        "B,casing,abs,black,12,1,2026-03-06T15:00,0,L-2306 100 %,",
    )
    document = plan_week(shop, now=MONDAY, seconds=10)
    (left,) = document["left_out"]
    assert left["order"] == "B"
    assert "L-2306" in left["because"]
    assert {sheet["order"] for sheet in document["sheets"]} == {"A"}


def test_an_order_without_a_date_is_never_late(tmp_path):
    shop = shop_with(tmp_path / "shop", "A,panel,hdpe,dark,12,1,,0,L-2301 100 %,")
    (sheet,) = plan_week(shop, now=MONDAY, seconds=5)["sheets"]
    assert (sheet["due"], sheet["late_min"]) == (None, 0)


def test_an_order_without_a_lot_to_weigh_from_is_left_out_with_the_reason(tmp_path):
    folder = tmp_path / "shop"
    shop_with(folder, "A,panel,hdpe,dark,12,1,2026-03-06T15:00,0,,")
    lots = (folder / "lots.csv").read_text("utf-8").replace("released", "quarantine")
    (folder / "lots.csv").write_text(lots, "utf-8")
    document = plan_week(open_workshop(folder), now=MONDAY, seconds=5)
    assert document["sheets"] == []
    (left,) = document["left_out"]
    assert left["because"] == "no released lot of HDPE is on file to weigh it from"


def test_without_two_trained_people_nothing_is_planned(tmp_path):
    folder = tmp_path / "shop"
    copy_to(folder)
    text = (folder / "shop.toml").read_text("utf-8").replace('skills = ["hot_transfer"]', 'skills = ["saw"]')
    text = text.replace(
        'role = "maker"\nskills = ["hot_transfer", "saw"]', 'role = "maker"\nskills = ["saw"]'
    )
    (folder / "shop.toml").write_text(text, "utf-8")
    with pytest.raises(Refused, match="two different people"):
        plan_week(open_workshop(folder), now=MONDAY, seconds=5)


def test_the_command_prints_the_week_and_keeps_it_in_the_folder(tmp_path, capsys):
    folder = tmp_path / "shop"
    shop_with(folder, "A,panel,hdpe,dark,12,1,2026-03-06T15:00,0,L-2301 100 %,")
    assert main(["plan", str(folder), "--seconds", "8"]) == 0
    shown = capsys.readouterr()
    assert "1 sheet, none late" in shown.out
    assert "A-01" in shown.out
    assert json.loads((folder / "plan.json").read_text("utf-8"))["format"] == "flatstock.plan/1"


def test_seconds_that_are_no_time_are_wrong_words(tmp_path, capsys):
    copy_to(tmp_path / "shop")
    assert main(["plan", str(tmp_path / "shop"), "--seconds", "0"]) == 2
    assert "write 1 to 86400" in capsys.readouterr().err


def test_a_late_week_says_what_one_more_of_a_thing_would_save(tmp_path):
    # two thick sheets due before a single frame can be turned twice
    folder = tmp_path / "shop"
    copy_to(folder)
    text = (folder / "shop.toml").read_text("utf-8").replace('"F18-1", "F18-2", "F18-3"', '"F18-1"')
    (folder / "shop.toml").write_text(text, "utf-8")
    (folder / "orders.csv").write_text(
        HEAD + "A,bench top,hdpe,dark,18,2,2026-03-02T12:30,0,L-2301 100 %,\n", "utf-8"
    )
    document = plan_week(open_workshop(folder), now=MONDAY, seconds=8)
    (late,) = document["late"]
    assert late["because"]
    assert "one more 18 mm frame with its skins" in {one["what"] for one in late["would_help"]}
    assert all(one["saves_min"] > 0 for one in late["would_help"])


def test_the_papers_of_a_week_go_into_the_folder_named(tmp_path, capsys):
    shop_with(tmp_path / "shop", "A,panel,hdpe,dark,12,1,2026-03-06T15:00,0,L-2301 100 %,")
    assert main(["plan", str(tmp_path / "shop"), "--seconds", "8", "--pdf", str(tmp_path / "week")]) == 0
    names = {path.name for path in (tmp_path / "week").iterdir()}
    assert {"week-board-a4.pdf", "emergency-card.pdf"} <= names
    assert "Written:" in capsys.readouterr().err
