"""A promise that is taken: the order is written down with the date that was given, and the week is planned anew."""

from __future__ import annotations

import json
import shutil
from dataclasses import replace
from datetime import UTC, datetime, timedelta

import pytest

from flatstock.actions.plans import Physics, plan_week
from flatstock.actions.promised import FILE, as_promised
from flatstock.actions.promises import Wanted, promise
from flatstock.actions.workshops import zone_of
from flatstock.planning.problem.build import set_out
from flatstock.workshop.files import read

MONDAY = datetime(2026, 3, 2, 6, 30, tzinfo=UTC)
LINE = "{id},hdpe,dark,12,{count},{due},,L-2301 100 %\n"


@pytest.fixture(scope="module")
def answered(planned, tmp_path_factory):
    """A folder in which a date was asked for two sheets, and the answer."""
    folder = tmp_path_factory.mktemp("promised") / "shop"
    shutil.copytree(planned, folder)
    wanted = Wanted(plastic="hdpe", thickness=0.012, colour="dark", count=2, lots={"L-2301": 1.0})
    return folder, promise(read(folder), wanted, now=MONDAY, seconds=6)


@pytest.fixture
def folder(answered, tmp_path):
    shutil.copytree(answered[0], tmp_path / "shop")
    return tmp_path / "shop"


def ordered(folder, answered, *, later=timedelta(0), count=2, name="O-201"):
    """The shop with the order written down, and its week."""
    due = datetime.fromisoformat(answered[1]["earliest"]) + later
    with (folder / "orders.csv").open("a", encoding="utf-8") as file:
        file.write(LINE.format(id=name, count=count, due=f"{due:%Y-%m-%dT%H:%M}"))
    shop = read(folder)
    return shop, set_out(shop, Physics(shop), zone=zone_of(shop), start=MONDAY)


def test_planned_anew_with_the_promised_date_as_due_it_is_in_time(folder, answered):
    """As little time as there is: a search that begins from nothing is late with it."""
    shop, _ = ordered(folder, answered)
    plan = plan_week(shop, now=MONDAY, seconds=5)
    new = [one for one in plan["sheets"] if one["order"] == "O-201"]
    assert len(new) == 2
    assert [one["late_min"] for one in new] == [0, 0]


def test_the_plan_of_the_promise_is_where_it_begins(folder, answered):
    shop, week = ordered(folder, answered)
    promised = as_promised(shop, week)
    assert promised is not None
    new = {one.id: one for one in promised.week.sheets if one.order == "O-201"}
    assert set(new) == {"O-201-01", "O-201-02"}
    assert all(one.promised == one.due for one in new.values())
    assert max(promised.like.runs[name].ready for name in new) == week.clock.minute(
        datetime.fromisoformat(answered[1]["earliest"])
    )
    assert {one.promised for one in promised.week.sheets if one.order != "O-201"} == {None}


@pytest.mark.parametrize(
    "changes",
    [{"later": -timedelta(minutes=1)}, {"count": 3}],
    ids=["sooner than promised", "more than were asked for"],
)
def test_what_was_not_promised_is_an_order_like_any_other(folder, answered, changes):
    assert as_promised(*ordered(folder, answered, **changes)) is None


def test_nothing_is_begun_from_when_files_or_time_have_moved_on(folder, answered):
    shop, week = ordered(folder, answered)
    assert as_promised(shop, replace(week, now=week.now + 24 * 60)) is None
    text = (folder / "shop.toml").read_text("utf-8")
    (folder / "shop.toml").write_text(text.replace("load_min = 3", "load_min = 4"), "utf-8")
    assert as_promised(read(folder), week) is None


@pytest.mark.parametrize("text", ["", "[]", "{}", '{"digest": 1}'])
def test_a_file_that_no_promise_wrote_is_passed_over(folder, answered, text):
    shop, week = ordered(folder, answered)
    (folder / FILE).write_text(text, "utf-8")
    assert as_promised(shop, week) is None


def test_half_of_one_is_passed_over_too(folder, answered):
    shop, week = ordered(folder, answered)
    kept = json.loads((folder / FILE).read_text("utf-8"))
    del kept["tasks"]
    (folder / FILE).write_text(json.dumps(kept), "utf-8")
    assert as_promised(shop, week) is None
