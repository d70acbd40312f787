"""`flatstock records …`: each command answers in words, and refuses in a sentence."""

from __future__ import annotations

import csv
import io
import json

import pytest

from flatstock import demo
from flatstock.records import open_store
from tests.records.some import a_weighing, an_event


@pytest.fixture
def shop(tmp_path):
    folder = tmp_path / "shop"
    demo.copy_to(folder)
    return folder


@pytest.fixture
def living(shop, call):
    assert call("records", "begin", shop).code == 0
    with open_store(shop) as store:
        store.append([a_weighing(lot="L-2301", mass=12.0), an_event("load")])
        store.append([an_event("off", kind="undone", sheet=None, facts={}, corrects="load")])
    return shop


def test_a_workshop_without_records_is_told_how_to_begin(call, shop):
    done = call("records", "state", shop)
    assert done.code == 1
    assert "it has no records yet" in done.err


def test_a_call_says_that_it_read_the_records(call, living):
    done = call("read", living, "--json")
    assert done.document["form"] == "records"
    assert "Read from the workshop's records" in call("read", living).out


@pytest.mark.parametrize("decision", ["take", "leave"])
def test_a_file_changed_by_hand_is_asked_about_until_it_is_decided(call, living, decision):
    file = living / "orders.csv"
    changed = file.read_text() + "# by hand\n"
    file.write_text(changed)
    assert any(
        "orders.csv was changed by hand" in said
        for said in call("read", living, "--json").document["warnings"]
    )
    assert call("records", decision, living).code == 0
    assert call("read", living, "--json").document["warnings"] == []
    if decision == "take":
        assert file.read_text() == changed
    else:
        assert "# by hand" not in file.read_text()
        assert (living / "orders.csv.put-aside").read_text() == changed


def test_taking_in_a_lot_list_changed_by_hand_leaves_alone_what_was_weighed_since(call, living):
    file = living / "lots.csv"
    file.write_text(file.read_text().replace("190,released", "190,blocked"))
    assert call("records", "take", living, "--who", "OP4", "--why", "found PVC").code == 0
    lots = {lot: (mass, state) for lot, mass, state in read_lots(file.read_text())}
    assert lots["L-2301"] == (400.0, "released")
    assert lots["L-2302"] == (190.0, "blocked")


def read_lots(text):
    rows = csv.DictReader(
        io.StringIO("\n".join(line for line in text.splitlines() if not line.startswith("#")))
    )
    return [(row["id"], float(row["mass_kg"]), row["status"]) for row in rows]


def test_records_written_over_their_own_files_bring_the_stock_up_to_date(call, living):
    assert call("records", "write", living).code == 0
    assert ("L-2301", 400.0, "released") in read_lots((living / "lots.csv").read_text())
    assert call("read", living, "--json").document["warnings"] == []


def test_files_changed_by_hand_are_not_written_over(call, living):
    (living / "orders.csv").write_text((living / "orders.csv").read_text() + "# by hand\n")
    done = call("records", "write", living)
    assert done.code == 1
    assert "orders.csv was changed by hand" in done.err


def test_a_copy_is_put_back_into_another_folder_with_its_files(call, living, tmp_path):
    out = call("records", "backup", living).out
    assert "whole, 3 events" in out
    copy = next((living / "backups").glob("*.db"))
    done = call("records", "restore", copy, tmp_path / "there")
    assert done.code == 0
    assert "Tablets and phones pair again" in done.out
    assert "moulds that stand in a press or a stack have no clock: measure before opening" in " ".join(
        done.out.split()
    )
    assert ("L-2301", 400.0, "released") in read_lots((tmp_path / "there" / "lots.csv").read_text())
    assert call("card", tmp_path / "there", "--plastic", "hdpe", "--thickness", "12mm").code == 0


def test_a_copy_brings_the_plan_of_its_hour_back(call, living, tmp_path):
    plan = json.dumps({"format": "flatstock.plan/1", "of": "Monday"})
    (living / "plan.json").write_text(plan)
    (living / "done.csv").write_text("sheet,step,start,end\n")
    call("records", "backup", living)
    copy = next((living / "backups").glob("*.db"))
    done = call("records", "restore", copy, tmp_path / "there")
    assert "The week's plan is the one of the hour of the copy" in done.out
    assert (tmp_path / "there" / "plan.json").read_text() == plan
    assert (tmp_path / "there" / "done.csv").is_file()
    assert call("records", "state", tmp_path / "there").code == 0


def test_a_plan_that_a_restored_one_takes_the_place_of_is_put_aside(call, living):
    (living / "plan.json").write_text("Monday's")
    call("records", "backup", living)
    copy = next((living / "backups").glob("*.db"))
    (living / "plan.json").write_text("Tuesday's")
    call("records", "restore", copy, living)
    assert (living / "plan.json").read_text() == "Monday's"
    assert (living / "plan.json.put-aside").read_text() == "Tuesday's"


def a_copy(call, folder):
    call("records", "backup", folder)
    return next((folder / "backups").glob("*.db"))


def texts_in(folder):
    return {path.name: path.read_bytes() for path in folder.iterdir() if path.is_file()}


def test_a_copy_is_not_put_into_another_workshops_folder_unasked(call, living, tmp_path):
    copy, there = a_copy(call, living), tmp_path / "there"
    demo.copy_to(there)
    (there / "shop.toml").write_text((there / "shop.toml").read_text().replace("Lower Sluice", "Upper Weir"))
    before = texts_in(there)
    done = call("records", "restore", copy, there)
    said = " ".join(done.err.split())
    assert done.code == 1
    assert (
        "the folder of “Upper Weir Sheet Workshop”, and the copy is of “Lower Sluice Sheet Workshop”" in said
    )
    assert "shop.toml there says something else than the copy; nothing was done: restore into a new" in said
    assert texts_in(there) == before


def test_records_of_the_same_name_that_began_otherwise_are_another_workshops(call, living, tmp_path):
    copy, there = a_copy(call, living), tmp_path / "there"
    demo.copy_to(there)
    call("records", "begin", there)
    with open_store(there) as store:
        store.append([an_event("other")])
    assert "begin with another entry than the copy's" in " ".join(
        call("records", "restore", copy, there).err.split()
    )


def test_what_a_folder_says_otherwise_is_put_aside_when_asked_to_be(call, living):
    copy, orders = a_copy(call, living), living / "orders.csv"
    was = orders.read_text()
    orders.write_text(was + "# by hand\n")
    refused = call("records", "restore", copy, living)
    assert "orders.csv there says something else than the copy" in " ".join(refused.err.split())
    assert call("records", "restore", copy, living, "--put-aside").code == 0
    assert orders.read_text() == was
    assert (living / "orders.csv.put-aside").read_text() == was + "# by hand\n"
    assert call("read", living, "--json").document["warnings"] == []


def test_another_workshops_devices_are_not_let_in_by_what_takes_its_place(call, living, tmp_path):
    copy, there = a_copy(call, living), tmp_path / "there"
    demo.copy_to(there)
    (there / "shop.toml").write_text((there / "shop.toml").read_text().replace("Lower Sluice", "Upper Weir"))
    (there / "access.json").write_text("{}")
    done = call("records", "restore", copy, there, "--put-aside")
    assert "pair again" in done.out
    assert (there / "access.json.put-aside").read_text() == "{}"
    assert "Lower Sluice" in (there / "shop.toml").read_text()


def test_a_folder_and_its_copy_named_the_wrong_way_round_are_told_so(call, living, tmp_path):
    call("records", "backup", living)
    copy = next((living / "backups").glob("*.db"))
    (tmp_path / "there").mkdir()
    done = call("records", "restore", tmp_path / "there", copy)
    assert (done.code, "the other way round" in done.err) == (1, True)


def test_devices_stay_paired_where_a_folder_has_who_is_let_in(call, living):
    call("records", "backup", living)
    (living / "access.json").write_text("{}")
    copy = next((living / "backups").glob("*.db"))
    assert "stay paired" in call("records", "restore", copy, living).out


def test_what_is_no_copy_is_not_put_back(call, living, tmp_path):
    (tmp_path / "x.db").write_text("no copy")
    done = call("records", "restore", tmp_path / "x.db", living)
    assert done.code == 1
    assert "no whole copy of records" in done.err


def test_events_are_read_out_as_lines_and_as_a_table(call, living):
    lines = [json.loads(line) for line in call("records", "events", living).out.splitlines()]
    assert [(one["id"], one["stands"]) for one in lines] == [("W-1", True), ("load", False), ("off", False)]
    rows = list(csv.DictReader(io.StringIO(call("records", "events", living, "--as", "csv").out)))
    assert [row["number"] for row in rows] == ["1", "2", "3"]
    assert json.loads(rows[0]["facts"])["mass_kg"] == 12.0
    assert [
        json.loads(line)["number"]
        for line in call("records", "events", living, "--after", "2").out.splitlines()
    ] == [3]


def test_a_word_that_is_no_command_of_records_is_answered_with_the_nearest(call, living):
    done = call("records", "tak", living)
    assert done.code == 2
    assert "there is no command records tak; did you mean take?" in done.err


def test_records_are_not_copied_over_others(call, living, tmp_path):
    (tmp_path / "there").mkdir()
    assert call("records", "copy", living, "--to", tmp_path / "there").code == 0
    done = call("records", "copy", living, "--to", tmp_path / "there")
    assert done.code == 1
    assert "there are records in it already" in done.err
