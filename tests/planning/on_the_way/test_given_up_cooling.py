"""A charge given up while its mould cools: place, frame and skins are taken until hands have taken it out."""

from __future__ import annotations

import json
from datetime import datetime, timedelta

import pytest

from flatstock.actions.replans import plan_from_now
from flatstock.planning.check import judge
from flatstock.workshop.files import read
from tests.planning.on_the_way.conftest import done_by

GIVEN_UP, BEHIND = "O-104-01", "O-104-02"  #: in CP1 when `now` is, and in HP1


def at(text):
    return datetime.fromisoformat(text)


def go_on(folder, now, *, seconds=3):
    return plan_from_now(read(folder), now=now, seconds=seconds)


def give_up(folder, sheet, since, end=""):
    with (folder / "done.csv").open("a", encoding="utf-8") as file:
        file.write(f"{sheet},given_up,{since.isoformat()},{end},,OP1\n")


def entry(document):
    (one,) = document["given_up"]
    return one


def stays_in(document, place):
    return [(at(t["start"]), at(t["end"])) for t in document["tasks"] if place in t["places"]]


def rounds_of(document, thing):
    """From preparing to the end of demoulding, of the sheets to come that have this frame or these skins."""
    names = [one["id"] for one in document["sheets"] if thing in (one["frame"], one["skins"])]
    steps = {(t["sheet"], t["step"]): t for t in document["tasks"]}
    return [(at(steps[name, "prepare"]["start"]), at(steps[name, "demould"]["end"])) for name in names]


def apart(span, others):
    return all(end <= span[0] or start >= span[1] for start, end in others)


@pytest.fixture
def in_press(shop, now):
    """O-104-01 is given up in the cooling press while O-104-02 is in the hot press."""
    give_up(shop, GIVEN_UP, now - timedelta(minutes=4))
    return shop


def test_in_a_cooling_press_it_keeps_its_place_frame_and_skins_until_it_is_taken_out(in_press, now):
    document = go_on(in_press, now)
    one = entry(document)
    assert (one["sheet"], one["place"], one["press"], one["written"]) == (GIVEN_UP, "CP1", None, True)
    assert judge(document) == []
    out = at(one["out"]["end"])
    left = next(at(t["end"]) for t in one["ahead"] if t["step"] == "press_cool")
    assert apart((now, left), stays_in(document, "CP1"))
    assert at(one["cold_from"]) <= at(one["out"]["start"])
    for thing in (one["frame"], one["skins"]):
        assert apart((now, out), rounds_of(document, thing))
    assert GIVEN_UP not in {t["sheet"] for t in document["tasks"]}
    assert one["instead"] == "O-104-05"


def test_whoever_takes_it_out_does_nothing_else_then(in_press, now):
    document = go_on(in_press, now)
    for task in (t for t in entry(document)["ahead"] if t["people"]):
        span = at(task["start"]), at(task["end"])
        for name in (*task["people"], *(p for p in task["places"] if p == "LT1")):
            others = [
                (at(t["start"]), at(t["end"]))
                for t in document["tasks"]
                if name in t["people"] or name in t["places"]
            ]
            assert apart(span, others)


def test_the_mould_behind_it_in_the_hot_press_is_saved_by_carrying_it_to_the_rack(in_press, now):
    document = go_on(in_press, now)
    assert [one["sheet"] for one in document["given_up"]] == [GIVEN_UP]
    moved = next(t for t in entry(document)["ahead"] if t["step"] == "move")
    transfer = next(t for t in document["tasks"] if (t["sheet"], t["step"]) == (BEHIND, "transfer"))
    assert at(moved["end"]) <= at(transfer["start"])
    assert any(f"carry it to {place}" in " ".join(entry(document)["do"]) for place in ("R1", "ST1"))


def test_in_a_rack_of_one_nothing_else_comes_into_it_until_it_is_taken_out(shop, planned, now):
    text = (shop / "shop.toml").read_text("utf-8")
    assert "moulds_max = 4" in text
    (shop / "shop.toml").write_text(text.replace("moulds_max = 4", "moulds_max = 1"), "utf-8")
    later = now + timedelta(minutes=14)  # it has been carried to R1
    plan = json.loads((planned / "plan.json").read_text("utf-8"))
    (shop / "done.csv").write_text(done_by(plan, later), "utf-8")
    give_up(shop, GIVEN_UP, later)
    document = go_on(shop, later)
    one = entry(document)
    assert one["place"] == "R1"
    assert judge(document) == []
    assert apart((later, at(one["out"]["start"])), stays_in(document, "R1"))
    for thing in (one["frame"], one["skins"]):
        assert apart((later, at(one["out"]["end"])), rounds_of(document, thing))


def in_a_stack(folder, plan, now):
    """O-104-01 and then O-104-02 lie in ST1; what came first is under the other."""
    moment = now + timedelta(hours=2)
    lines = done_by(plan, now).splitlines()
    lines = [line for line in lines if line.split(",")[0] not in (GIVEN_UP, BEHIND)]
    for n, sheet in enumerate((GIVEN_UP, BEHIND)):
        for step, minutes, where, who in (
            ("weigh", -120, "SCALE60", "OP1"), ("prepare", -115, "BENCH", "OP1"), ("load", -110, "HP1", "OP1 OP2"),
            ("transfer", -75, "HP1 CP1", "OP1 OP2"), ("move", -45, "CP1 ST1 LT1", "OP1"),
        ):  # fmt: skip
            start = moment + timedelta(minutes=minutes + 38 * n)
            end = start + timedelta(minutes=3)
            lines.append(f"{sheet},{step},{start.isoformat()},{end.isoformat()},{where},{who}")
    (folder / "done.csv").write_text("\n".join(lines) + "\n", "utf-8")
    return moment


def test_in_a_stack_what_lies_beneath_waits_until_it_is_taken_out(shop, planned, now):
    moment = in_a_stack(shop, json.loads((planned / "plan.json").read_text("utf-8")), now)
    give_up(shop, BEHIND, moment)
    document = go_on(shop, moment)
    one = entry(document)
    assert (one["sheet"], one["place"]) == (BEHIND, "ST1")
    assert [finding for finding in judge(document) if finding.at is None or finding.at > moment] == []
    beneath = next(t for t in document["tasks"] if (t["sheet"], t["step"]) == (GIVEN_UP, "demould"))
    assert at(beneath["start"]) >= at(one["out"]["start"])


def test_in_a_stack_it_waits_for_what_lies_on_it(shop, planned, now):
    moment = in_a_stack(shop, json.loads((planned / "plan.json").read_text("utf-8")), now)
    give_up(shop, GIVEN_UP, moment)
    document = go_on(shop, moment)
    one = entry(document)
    assert (one["sheet"], one["place"]) == (GIVEN_UP, "ST1")
    assert [finding for finding in judge(document) if finding.at is None or finding.at > moment] == []
    above = next(t for t in document["tasks"] if (t["sheet"], t["step"]) == (BEHIND, "demould"))
    assert at(one["out"]["start"]) > at(above["start"])


def test_planned_again_it_is_taken_out_as_it_was_planned(in_press, now):
    document = go_on(in_press, now)
    (in_press / "plan.json").write_text(json.dumps(document), "utf-8")
    again = go_on(in_press, now + timedelta(minutes=2))
    assert entry(again)["out"]["start"] == entry(document)["out"]["start"]
    assert judge(again) == []


def test_with_an_end_it_is_out_and_its_place_is_free_at_once(shop, now):
    give_up(shop, GIVEN_UP, now - timedelta(minutes=4), (now - timedelta(minutes=1)).isoformat())
    document = go_on(shop, now)
    assert (entry(document)["place"], entry(document)["out"], entry(document)["ahead"]) == (None, None, [])
    assert judge(document) == []


def test_without_two_people_or_a_lift_in_order_nobody_takes_it_out(in_press, now):
    """Two carry a mould without the lift."""
    out = '[[out_of_order]]\nplace = "LT1"\n'
    (in_press / "changes.toml").write_text(out, "utf-8")
    document = go_on(in_press, now)
    assert len(entry(document)["out"]["people"]) == 2
    assert judge(document) == []


def planted(document, change):
    """The judge's rules that a change to its given-up entry breaks."""
    copy = json.loads(json.dumps(document))
    change(copy["given_up"][0])
    return {finding.rule for finding in judge(copy)}


def test_the_judge_sees_a_mould_given_up_in_every_place_that_it_keeps(in_press, now):
    document = go_on(in_press, now)
    frame = next(one["frame"] for one in document["sheets"] if one["id"] == BEHIND)

    def stays_in_the_press(one):
        last = one["ahead"][-1]
        press = next(t for t in one["ahead"] if t["step"] == "press_cool")
        one["ahead"] = [press | {"end": last["start"]}, last]

    def lifted_by_one(one):
        one["ahead"][-1]["places"] = ["BENCH"]
        one["ahead"][-1]["people"] = one["ahead"][-1]["people"][:1]

    assert "capacity" in planted(document, stays_in_the_press)
    assert "frame_shared" in planted(document, lambda one: one.update(frame=frame))
    assert "lifting" in planted(document, lifted_by_one)
    assert "given_up_kept" in planted(document, lambda one: one.update(ahead=[]))
    assert "given_up_hands" in planted(document, lambda one: one.update(cold_from=one["out"]["end"]))
