"""A first answer is there at once, on the safe side of what is worked out after it, whatever has gone wrong."""

from __future__ import annotations

import json
from datetime import timedelta

import pytest

from flatstock.actions.plans import Physics
from flatstock.actions.remembered import kinds_in
from flatstock.actions.replans import plan_from_now
from flatstock.actions.under_way import as_changed
from flatstock.actions.weaker import scaled, worked_out
from flatstock.cli import main
from flatstock.planning.check import judge
from flatstock.planning.problem.kinds import kinds_of
from flatstock.workshop.files import read
from flatstock.workshop.today import Outage, Today

CHANGES = {
    "late": "",
    "absent": '[[absences]]\nperson = "OP3"\n',
    "element": '[[out_of_order]]\nplace = "HP1"\nelements = 1\nof = 12\n',
    "held": '[[held]]\nlot = "L-2301"\n',
}


class Enough(Exception):
    pass


def first_answer(folder, now):
    found = []

    def first(document):
        found.append(json.loads(json.dumps(document)))
        raise Enough

    with pytest.raises(Enough):
        plan_from_now(read(folder), now=now, seconds=1.0, first=first)
    return found[0]


@pytest.mark.parametrize("wrong", CHANGES)
def test_a_first_answer_passes_the_judge_whatever_has_gone_wrong(shop, now, wrong):
    (shop / "changes.toml").write_text(CHANGES[wrong], "utf-8")
    document = first_answer(shop, now + timedelta(minutes=25 if wrong == "late" else 0))
    past = {line.split(",")[0] for line in (shop / "done.csv").read_text("utf-8").splitlines()[1:]}
    assert [one for one in judge(document) if not any(name in one.where for name in past)] == []
    assert document["sheets"]


def test_with_a_failed_element_the_first_answer_says_that_its_dwells_are_scaled(shop, now):
    (shop / "changes.toml").write_text(CHANGES["element"], "utf-8")
    document = first_answer(shop, now)
    assert any("HP1: its dwells are scaled" in one for one in document["warnings"])
    # what whole presses need is still known to whoever plans on from here
    assert document["remembered"] == json.loads((shop / "plan.json").read_text("utf-8"))["remembered"]


@pytest.fixture(scope="module")
def beforehand(planned):
    """The shop, its kinds of sheet by recipe, and what was worked out of fewer elements."""
    shop = read(planned)
    known = kinds_in(json.loads((planned / "plan.json").read_text("utf-8")), shop)
    return shop, known, worked_out(shop, known)


@pytest.mark.parametrize("elements", [2, 5])
def test_scaled_dwells_lie_on_the_safe_side_of_those_worked_out(beforehand, elements):
    """Five of twelve lie between two shares that were tried."""
    shop, known, slowed = beforehand
    out = Outage(place="HP1", start=None, end=None, why="", elements=elements, of=12)
    weak = as_changed(shop, Today(outages=(out,)))
    whole_kinds, _, _ = kinds_of(weak, Physics(weak))
    for order in shop.orders.values():
        kind = known[order.recipe]
        rough = scaled(kind, (out,), slowed[order.recipe], now=weak, before=shop).dwell["HP1"]
        whole, before = whole_kinds[order.id].dwell["HP1"], kind.dwell["HP1"]
        assert before.least < rough.least
        assert whole.least - 1 <= rough.least <= 1.05 * whole.least + 1
        assert rough.planned >= whole.planned
        assert rough.latest is None or rough.planned <= rough.latest <= whole.latest + 1


@pytest.mark.parametrize("side", [None, "top"])
def test_shares_that_were_tried_beforehand_scale_as_the_heat_model_does(beforehand, side):
    shop, known, slowed = beforehand
    out = Outage(place="HP1", start=None, end=None, why="", elements=3, of=12, side=side)
    weak = as_changed(shop, Today(outages=(out,)))
    for recipe, kind in known.items():
        assert scaled(kind, (out,), slowed[recipe], now=weak, before=shop) == scaled(
            kind, (out,), {}, now=weak, before=shop
        )


def test_the_line_that_tells_of_it_names_the_orders_of_which_sheets_find_no_time(shop, now, capsys):
    """What is left out is not late, so that the line alone sounded as if nothing was lost."""
    (shop / "changes.toml").write_text(CHANGES["held"], "utf-8")
    main(["plan", str(shop), "--from-now", "--now", now.isoformat(), "--seconds", "1"])
    (line,) = (one for one in capsys.readouterr().err.splitlines() if "a first answer is kept" in one)
    left = json.loads((shop / "plan.json").read_text("utf-8"))["left_out"]
    assert left
    assert f"; sheets of {', '.join(sorted({one['order'] for one in left}))} are left out" in line
