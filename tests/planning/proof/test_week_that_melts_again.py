"""A shop whose obvious plan melts a sheet again in the night's stack: the rehearsal names it, the planner mends it.

Thick HDPE may be opened at 118 °C there, a soft film blend begins to melt at 60 °C, and there is a stack but no rack.
"""

import json
import re
from datetime import UTC, datetime

import pytest

from flatstock.actions.mending import asked, faults_of, goings
from flatstock.actions.plans import Physics
from flatstock.actions.workshops import open_workshop, zone_of
from flatstock.cli import main
from flatstock.demo import copy_to
from flatstock.planning.check import judge
from flatstock.planning.problem.build import set_out
from flatstock.planning.problem.schedule import Run, Schedule
from flatstock.pressing.rehearsal import rehearse

MONDAY = datetime(2026, 3, 2, 7, 0, tzinfo=UTC)
DAY = 24 * 60
ORDERS = """id,what,plastic,colour,thickness_mm,sheets,due,condition_h,lots,note
A,film board,ldpe,dark,12,1,2026-03-03T10:00,0,L-2307 100 %,
B,bench top,hdpe,dark,24,8,2026-03-03T10:30,0,L-2301 100 %,
"""
SHOP = (
    (r"(?s)\[\[racks\]\].*?\n\n", ""),
    (r'ids = \["F18-1".*?\]\nthickness_mm = 18', f"ids = {[f'F24-{n}' for n in range(1, 9)]}\nthickness_mm = 24"),
    (r"mass_kg = 24\.5", "mass_kg = 32.7"),
    (r"moulds_max = 8\nload_max_kg = 700", "moulds_max = 10\nload_max_kg = 1200"),
    (r"value = 25, low = 15, high = 30", "value = 40, low = 39, high = 41"),
    (r', lunch_start = "[\d:]+", lunch_end = "[\d:]+"', ""),
)  # fmt: skip
HDPE = {"open_below_C": 118, "demould_below_C": 60}
FILM = {
    "open_below_C": 55, "demould_below_C": 40, "set_point_C": 195, "melting_onset_C": 60, "melting_end_C": 90,
    "freezing_onset_C": 76, "freezing_end_C": 58,
}  # fmt: skip


@pytest.fixture
def folder(tmp_path):
    """The demo's workshop with what is said above."""
    made = tmp_path / "shop"
    copy_to(made)
    text = (made / "shop.toml").read_text("utf-8")
    for old, new in SHOP:
        text, count = re.subn(old, new, text)
        assert count
    (made / "shop.toml").write_text(text, "utf-8")
    tables = re.split(r"(?m)^(?=\[)", (made / "plastics.toml").read_text("utf-8"))
    for n, table in enumerate(tables):
        for name, value in {"[hdpe]": HDPE, "[ldpe]": FILM}.get(table.split("\n")[0], {}).items():
            tables[n], count = re.subn(rf"(?m)^{name} = [\d.]+", f"{name} = {value}", tables[n])
            assert count == 1
    (made / "plastics.toml").write_text("".join(tables), "utf-8")
    lots = (made / "lots.csv").read_text("utf-8")
    lots = re.sub(r"(?m)^L-2307,.*$", "L-2307,ldpe,film flake,dark,60,released,packaging,,,0.6,330,,,", lots)
    (made / "lots.csv").write_text(lots, "utf-8")
    (made / "orders.csv").write_text(ORDERS, "utf-8")
    return made


def obvious(week, names):
    """One mould after the other as soon as the presses are free, onto the stack as soon as it may be opened, emptied
    from the top the next morning."""
    t, sheets = week.times, {sheet.id: sheet for sheet in week.sheets}
    load, free, runs = 9 * 60, 0, {}
    for place, name in enumerate(names):
        kind = sheets[name].kind
        transfer = max(load + t.load + kind.dwell["HP1"].planned, free)
        leave = transfer + t.transfer + kind.press_cool["CP1"]
        demould = DAY + 8 * 60 + (len(names) - place) * t.demould
        runs[name] = Run(
            sheet=name, press="HP1", cooling="CP1", weigh=load - 30, scale="SCALE60", prepare=load - 10, bench="BENCH",
            load=load, transfer=transfer, leave=leave, stay="ST1", demould=demould, demould_at="LT1", trim=None,
            saw=None, ready=demould + t.demould,
        )  # fmt: skip
        load, free = transfer + t.transfer, leave + t.move
    return Schedule(runs=runs, heated={"HP1": ((7 * 60 + 30, load),)})


def test_the_obvious_plan_melts_the_film_again_and_says_by_what_and_what_it_asks(folder):
    shop = open_workshop(folder)
    physics = Physics(shop)
    week = set_out(shop, physics, zone=zone_of(shop), start=MONDAY)
    plan = obvious(week, ["B-01", "B-02", "A-01", "B-03", "B-04", "B-05"])
    verdicts = rehearse(shop, goings(physics.card, shop.orders, week, plan))
    film = next(one for one in verdicts if one.sheet == "A-01")
    assert "melts again" in film.verdict
    assert film.peak_after > 60
    by = next(one for one in verdicts if one.sheet == film.heated_by)
    assert by.more_before > 0
    told = {one["sheet"]: one["text"] for one in faults_of(1, verdicts)}
    assert film.heated_by in told["A-01"]
    assert "under pressure before it comes into a stack" in told[by.sheet]
    again = asked(week, plan, verdicts)
    assert any(max(one.stack_least, one.stack_percent) > 0 for one in again.sheets if one.order == "B")


def test_the_planner_presses_that_week_without_melting_anything_again(folder, capsys):
    main(["plan", str(folder), "--now", "2026-03-02T07:00", "--seconds", "25", "--json"])
    document = json.loads(capsys.readouterr().out)
    assert judge(document) == []
    assert {one["verdict"] for one in document["rehearsal"]["sheets"]} == {"good"}
    assert len(document["sheets"]) == 9
