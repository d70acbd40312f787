"""A workshop with two of each press, and a plan of its week by a priority rule, kept as `flatstock plan` keeps one."""

from __future__ import annotations

import json
import re
from pathlib import Path

from flatstock.actions.plans import Physics
from flatstock.actions.remembered import remembering
from flatstock.actions.workshops import zone_of
from flatstock.planning.dispatch.rule import dispatch
from flatstock.planning.problem.build import set_out
from flatstock.workshop.files import read
from tests.planning.on_the_way.new_plan import MONDAY, lay_out
from tests.planning.proof.test_dispatch import document_by_rule, lots_in

__all__ = ["keep_a_plan"]

ORDERS = """id,plastic,colour,thickness_mm,sheets,due,condition_h,lots
O-201,hdpe,white,18,3,2026-03-05T17:00,,L-2303 100 %
O-202,pp,green,6,5,2026-03-06T15:00,0,L-2304 100 %
O-203,hdpe,dark,12,12,2026-03-05T10:00,0,L-2301 100 %
"""


def keep_a_plan(folder: Path) -> None:
    """The demo's workshop with a second hot press, cooling press and stack, flake enough, and no supply on file."""
    lay_out(folder)
    text = (folder / "shop.toml").read_text("utf-8")
    for table, name in (("hot_presses", "HP"), ("cooling_presses", "CP"), ("stacks", "ST")):
        found = re.search(rf"\[\[{table}\]\].*?(?=\n\[)", text, re.DOTALL)
        assert found is not None
        one = found.group(0)
        text = text.replace(one, one + "\n\n" + one.replace(f'"{name}1"', f'"{name}2"'))
    (folder / "shop.toml").write_text(text, "utf-8")
    (folder / "supply.toml").unlink()
    (folder / "orders.csv").write_text(ORDERS, "utf-8")
    shop = read(folder)
    week = set_out(shop, Physics(shop), zone=zone_of(shop), start=MONDAY)
    lots = lots_in(shop)
    plan = document_by_rule(week, lots, dispatch(week))
    plan["remembered"] = remembering(shop, week)
    (folder / "plan.json").write_text(json.dumps(plan), "utf-8")
