"""Why a step moved: what is said of it must be what held it up."""

from __future__ import annotations

import json
from copy import deepcopy
from dataclasses import replace
from datetime import datetime, timedelta

import pytest

from flatstock.actions.plans import Physics
from flatstock.actions.under_way import week_now
from flatstock.planning.moves import changed, moves
from flatstock.prints.text.plan import plan_text
from flatstock.workshop.files import read
from flatstock.workshop.today import Absence, Outage, Today, read_today

FAILED = Outage(place="HP1", start=None, end=None, why="dead", elements=1, of=12)


@pytest.fixture
def before(planned):
    return json.loads((planned / "plan.json").read_text("utf-8"))


@pytest.fixture
def said(shop, before, now):
    """Of a plan that differs from the one before: why each of its steps moved, an element having failed."""
    shop_now = read(shop)
    rows = read_today(shop_now, sheets={one["id"] for one in before["sheets"]}, now=now).done
    today = Today(done=rows, outages=(FAILED,))
    week = week_now(Physics(shop_now, then=Physics(shop_now)), before, Today(done=rows), now, roughly=True)

    def why(after):
        return {(one["sheet"], one["step"]): one["because"] for one in moves(before, after, week, today)}

    return why


def shifted(plan, sheet, minutes, *, since):
    """The same plan with a sheet's steps from `since` on so many minutes later, the stay before them too."""
    after = deepcopy(plan)
    moved = False
    for task in sorted(
        (t for t in after["tasks"] if t["sheet"] == sheet), key=lambda t: (t["start"], t["end"])
    ):
        later = {
            key: (datetime.fromisoformat(task[key]) + timedelta(minutes=minutes)).isoformat()
            for key in ("start", "end")
        }
        moved = moved or task["step"] == since
        if moved:
            task.update(later)
    return after


def hot(before, now):
    """The sheet in the press at `now`, and one that is loaded after it."""
    loads = sorted((t for t in before["tasks"] if t["step"] == "load"), key=lambda t: t["start"])
    return loads[1]["sheet"], loads[2]["sheet"]


def test_a_mould_that_was_loaded_late_leaves_late_for_that_and_not_for_a_failed_element(said, before, now):
    sheet, _ = hot(before, now)
    why = said(shifted(before, sheet, 9, since="load"))
    assert why[sheet, "transfer"].startswith("its load ends at")


def test_what_follows_a_stay_is_held_up_by_the_step_before_the_stay(said, before, now):
    sheet, _ = hot(before, now)
    why = said(shifted(before, sheet, 9, since="load"))
    after_cooling = why.get((sheet, "move")) or why[sheet, "demould"]
    assert after_cooling.startswith("its transfer ends at")


def test_a_mould_that_needs_longer_in_a_weaker_press_leaves_late_for_its_elements(said, before, now):
    sheet, _ = hot(before, now)
    after = shifted(before, sheet, 9, since="transfer")
    next(one for one in after["sheets"] if one["id"] == sheet)["dwell_min"] += 9
    assert said(after)[sheet, "transfer"] == "HP1 heats without 1 of its elements (dead)"


def test_a_mould_that_comes_into_its_press_sooner_is_not_held_up_by_a_failed_element(said, before, now):
    _, following = hot(before, now)
    why = said(shifted(before, following, -2, since="load"))
    assert "elements" not in why[following, "load"]


def test_a_mould_that_waits_for_a_press_to_warm_up_after_an_outage_says_so(shop, before, now):
    _, following = hot(before, now)
    files = read(shop)
    rows = read_today(files, sheets={one["id"] for one in before["sheets"]}, now=now).done
    load = next(t for t in before["tasks"] if (t["sheet"], t["step"]) == (following, "load"))
    works = datetime.fromisoformat(load["start"]) - timedelta(minutes=5)
    today = Today(done=rows, outages=(replace(FAILED, elements=None, of=None, end=works),))
    week = week_now(Physics(files, then=Physics(files)), before, Today(done=rows), now, roughly=True)
    after = shifted(before, following, 50, since="load")
    why = {(one["sheet"], one["step"]): one["because"] for one in moves(before, after, week, today)}
    assert why[following, "load"] == "HP1 is warmed up again after it was out of order"


def test_a_mould_that_must_be_under_pressure_longer_says_so(said, before, now):
    sheet, _ = hot(before, now)
    step = "move" if any(t["sheet"] == sheet and t["step"] == "move" for t in before["tasks"]) else "demould"
    after = shifted(before, sheet, 4, since=step)
    one = next(one for one in after["sheets"] if one["id"] == sheet)
    one["press_cool_min"] += 4
    assert (
        said(after)[sheet, step]
        == f"it must be under pressure for {one['press_cool_min']} min, not {one['press_cool_min'] - 4}"
    )


def test_a_bench_is_taken_until_the_mould_on_it_is_loaded(said, before, now):
    """The next mould is prepared later since the one before it waits on the only bench until it is loaded."""
    _, sheet = hot(before, now)
    prepares = sorted((t for t in before["tasks"] if t["step"] == "prepare"), key=lambda t: t["start"])
    names = [t["sheet"] for t in prepares]
    following = names[names.index(sheet) + 1]
    own = prepares[names.index(following)]
    after = shifted(before, following, 60, since="prepare")
    load = next(t for t in after["tasks"] if (t["sheet"], t["step"]) == (sheet, "load"))
    load["end"] = own["end"]
    load["start"] = (datetime.fromisoformat(own["end"]) - timedelta(minutes=3)).isoformat()
    load["people"], load["places"] = [], ["HP1"]  # whoever does it, and wherever: the bench is what counts
    until = datetime.fromisoformat(own["end"])
    assert said(after)[following, "prepare"] == f"BENCH has {sheet} until {until:%a %H:%M}"


def test_a_mould_that_is_opened_in_its_cooling_press_after_all_needs_no_carrying(said, before, now):
    sheet = next(t["sheet"] for t in before["tasks"] if t["step"] == "move" and t["start"] > now.isoformat())
    after = deepcopy(before)
    after["tasks"] = [
        t for t in after["tasks"] if t["sheet"] != sheet or t["step"] not in ("move", "stack", "rack")
    ]
    assert said(after)[sheet, "move"] == "its mould is opened in CP1"


def test_a_mould_waits_for_a_frame_while_each_that_fits_has_another_sheet(said, shop, before, now):
    prepares = sorted((t for t in before["tasks"] if t["step"] == "prepare"), key=lambda t: t["start"])
    last = prepares[-1]
    after = shifted(before, last["sheet"], 60, since="prepare")
    frame = {one["id"]: one for one in after["sheets"]}[last["sheet"]]["frame"]
    alike = sorted(
        name for name, one in read(shop).frames.items() if one.thickness == read(shop).frames[frame].thickness
    )
    until = datetime.fromisoformat(last["end"]) + timedelta(minutes=30)
    for holder, one in zip(prepares, alike, strict=False):
        next(s for s in after["sheets"] if s["id"] == holder["sheet"])["frame"] = one
        opened = next(t for t in after["tasks"] if (t["sheet"], t["step"]) == (holder["sheet"], "demould"))
        opened.update(start=until.isoformat(), end=until.isoformat(), people=[])
    holder = prepares[alike.index(frame)]["sheet"]
    assert said(after)[last["sheet"], "prepare"] == f"{frame} has {holder} until {until:%a %H:%M}"


def test_what_others_do_at_its_minute_or_elsewhere_is_told_and_so_is_a_step_that_is_new(shop, before, now):
    """The list of what moved went by the clock alone: whoever kept to it went to the press that was planned before."""
    shop_now = read(shop)
    rows = read_today(shop_now, sheets={one["id"] for one in before["sheets"]}, now=now).done
    _, sheet = hot(before, now)
    after, before = before, deepcopy(before)
    steps = {t["step"]: t for t in after["tasks"] if t["sheet"] == sheet}
    was = {t["step"]: t for t in before["tasks"] if t["sheet"] == sheet}
    was["load"]["people"] = ["OP1", "OP9"]
    was["weigh"]["places"] = ["SCALE9"]
    before["tasks"].remove(was["trim"])
    away = Absence(person="OP9", start=None, end=None, why="ill")
    week = week_now(Physics(shop_now, then=Physics(shop_now)), after, Today(done=rows), now, roughly=True)
    told = {one["step"]: one for one in changed(before, after, week, Today(done=rows, absences=(away,)))}
    assert not moves(before, after, week, Today(done=rows))
    weighed = {(row.sheet, row.step) for row in rows} & {(sheet, "weigh")}
    assert set(told) == {"load", "trim"} | (set() if weighed else {"weigh"})
    assert (told["load"]["people_before"], told["load"]["people"]) == (
        ["OP1", "OP9"],
        steps["load"]["people"],
    )
    assert told["load"]["because"] == "OP9 is away (ill)"
    assert told["trim"]["because"] == "the plan before came without it"
    since = {"now": now.isoformat(), "moved": [], "changed": list(told.values())}
    text = " ".join(plan_text(after | {"since": since}, "metric").split())
    assert "At its time, elsewhere or by others" in text
    assert f"{sheet} load" in text
