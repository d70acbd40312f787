"""A mould in a hot press at its latest dwell: out in time where it can be, else as soon as can be, and the plan says why."""

from __future__ import annotations

import json
from datetime import datetime, timedelta

from flatstock.actions.replans import plan_from_now
from flatstock.planning.check import judge
from flatstock.workshop.files import read
from tests.planning.on_the_way.conftest import done_by

SHEET = "O-104-02"


def at(text):
    return datetime.fromisoformat(text)


def away(folder, person, start, end):
    text = f'[[absences]]\nperson = "{person}"\nfrom = {start:%Y-%m-%dT%H:%M:%S}\nuntil = {end:%Y-%m-%dT%H:%M:%S}\n'
    (folder / "changes.toml").write_text((folder / "changes.toml").read_text("utf-8") + text, "utf-8")


def kept(folder):
    return json.loads((folder / "plan.json").read_text("utf-8"))


def latest_of(plan):
    """When the mould has to be out."""
    load = next(t for t in plan["tasks"] if (t["sheet"], t["step"]) == (SHEET, "load"))
    figures = next(one for one in plan["sheets"] if one["id"] == SHEET)
    return at(load["end"]) + timedelta(minutes=figures["dwell_latest_min"])


def transfer_in(document):
    return next(at(t["start"]) for t in document["tasks"] if (t["sheet"], t["step"]) == (SHEET, "transfer"))


def test_minutes_before_its_latest_it_is_planned_out_by_it(shop, now):
    plan = kept(shop)
    latest = latest_of(plan)
    moment = latest - timedelta(minutes=8)
    (shop / "done.csv").write_text(done_by(plan, now), "utf-8")  # and nothing was noted since
    first = []
    document = plan_from_now(read(shop), now=moment, seconds=4, first=first.append)
    assert judge(document) == []
    assert [transfer_in(one) <= latest for one in (*first, document)] == [True, True]
    assert not any("past its latest" in words for words in document["warnings"])


def test_where_the_second_pair_of_hands_comes_after_its_latest_the_plan_says_by_how_much_and_why(shop, now):
    plan = kept(shop)
    latest = latest_of(plan)
    back = latest + timedelta(minutes=7)
    (shop / "changes.toml").write_text("", "utf-8")
    for person in ("OP1", "OP3"):
        away(shop, person, now, back)
    document = plan_from_now(read(shop), now=now, seconds=4)
    assert transfer_in(document) == back
    (said,) = (words for words in document["warnings"] if "past its latest" in words)
    assert said.startswith(
        f"{SHEET} leaves HP1 at {back:%a %H:%M}, 7 min past its latest ({latest:%a %H:%M})"
    )
    assert "fewer than two people trained for hot transfers are there before" in said
    assert {finding.rule for finding in judge(document)} == {"dwell_long", "dwell_figures"}
    assert not any(words.startswith("As it was done") for words in document["warnings"])
    assert document["proof"]["objective"][0] == {"name": "over_latest_min", "value": 7, "bound": 7}
