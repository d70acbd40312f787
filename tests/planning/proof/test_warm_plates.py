"""Cooling presses whose plates get warm: a mould's stay goes by those before it, against trying everything."""

from __future__ import annotations

import random
from dataclasses import replace

import pytest

from flatstock.planning.check import judge
from flatstock.planning.dispatch.rule import dispatch
from flatstock.planning.problem.straight_lines import SCALE
from flatstock.planning.problem.warmth import opens_after, warmths
from flatstock.planning.problem.week import Done, Site, Warming, Work
from flatstock.planning.relief import reliefs
from flatstock.planning.solve.first import as_in
from flatstock.planning.solve.search import search
from flatstock.planning.solve.week_model import WeekModel
from tests.planning.proof.test_enumeration import settled_as_enumerated
from tests.planning.proof.test_least import bounds_hold
from tests.planning.proof.tiny import document_of, person, tiny_kind, tiny_week

RACK = Site(id="R1", kind="rack", capacity=2)


def lines(*points):
    """Each as minutes a minute of warmth, and minutes on cold plates."""
    return tuple((round(slope * SCALE), round(cold * SCALE)) for slope, cold in points)


def warming(*, cool=1, whole=3, adds=0.5, from_=2, leaves=6, fades=0.5):
    """On cold plates `cool` minutes; each minute of warmth beyond `from_` adds `adds`."""
    return Warming(
        opens=lines((0, cool), (adds, cool - adds * from_)), ends=lines((adds, whole)),
        leaves=lines((0.5, leaves), (1, 0.5 * leaves)), fades=round(fades * SCALE),
    )  # fmt: skip


def warm_kind(key="dark", *, cool=1, whole=3, adds=0.5, leaves=12, fades=0.5, longest=9, **more):
    return tiny_kind(
        key, cool=longest, whole=longest + 4,
        warming=warming(cool=cool, whole=whole, adds=adds, leaves=leaves, fades=fades), **more,
    )  # fmt: skip


def drawn(seed, *, sheets=2, end=19):
    draw = random.Random(seed)
    stays = draw.choice([(), (RACK,), (RACK,)])
    frames = ("F1", "F2")
    kinds = [
        warm_kind(
            key, dwell=draw.randint(1, 2), cool=draw.randint(1, 2), whole=draw.randint(2, 4),
            adds=draw.choice([0.25, 0.5, 1]), leaves=draw.randint(6, 16), fades=draw.choice([0, 0.5, 0.75]),
            rest={place.id: draw.randint(1, 2) for place in stays}, frames=frames,
        )
        for key in ("dark", "blue")[: draw.randint(1, 2)]
    ]  # fmt: skip
    people = [person(name, (0, end)) for name in "AB"]
    wanted = [(draw.choice(kinds), draw.randint(8, end - 1)) for _ in range(sheets)]
    return tiny_week(
        wanted, end=end, people=people, stays=stays, frames=frames, closing=end - draw.randint(0, 3)
    )


@pytest.mark.parametrize("seed", [1, 2])
def test_two_sheets_on_plates_that_get_warm_come_out_as_by_trying_everything(seed):
    week = drawn(seed)
    bounds_hold(week, settled_as_enumerated(week))


@pytest.mark.slow
def test_three_sheets_on_plates_that_get_warm_come_out_as_by_trying_everything():
    settled_as_enumerated(drawn(100, sheets=3, end=16))


def row(sheets=4, *, days=((0, 60),), due=300, **more):
    """Moulds of one kind with a rack beside the press; frames enough."""
    frames = tuple(f"F{n}" for n in range(sheets))
    skins = tuple(f"S{n}" for n in range(sheets))
    kind = warm_kind(dwell=3, rest={"R1": 2}, frames=frames, skins=skins, **more)
    people = [person(name, *days) for name in "ABC"]
    rack = Site(id="R1", kind="rack", capacity=sheets)
    return tiny_week(
        [(kind, due)] * sheets, end=days[-1][1], people=people, stays=(rack,), frames=frames, skins=skins, benches=2
    )  # fmt: skip


def stays(week, runs):
    """Minutes under pressure, by when they are clamped, with what the warmth of the plates asks for."""
    sheets, warmth = {sheet.id: sheet for sheet in week.sheets}, warmths(week, runs)
    ordered = sorted(runs.values(), key=lambda run: run.transfer)
    return [
        (run.leave - run.transfer - week.times.transfer, opens_after(sheets[run.sheet], run.cooling, warmth[run.sheet]))
        for run in ordered
    ]  # fmt: skip


def test_the_first_mould_stays_as_on_cold_plates_and_later_ones_longer():
    for runs in (search(row(), seconds=4).schedule.runs, dispatch(row()).schedule.runs):
        found = stays(row(), runs)
        assert all(stay >= asked for stay, asked in found)
        assert found[0][1] == 1
        assert found[1][1] > 1


def test_more_sheets_find_a_time_than_if_each_stayed_as_in_a_row_that_never_rests():
    week = row(sheets=5, days=((0, 42),), due=42, longest=14, leaves=4, adds=0.25)
    never_rests = replace(
        week, sheets=tuple(replace(one, kind=replace(one.kind, warming={})) for one in week.sheets)
    )
    with_warmth, without = (search(one, seconds=5).schedule.runs for one in (week, never_rests))
    assert len(with_warmth) > len(without)


def test_the_second_days_first_mould_is_a_first_mould():
    week = row(sheets=6, days=((0, 22), (80, 102)))
    for runs in (search(week, seconds=4).schedule.runs, dispatch(week).schedule.runs):
        on_the_second = [
            run.sheet for run in sorted(runs.values(), key=lambda run: run.transfer) if run.load >= 80
        ]
        assert on_the_second
        assert warmths(week, runs)[on_the_second[0]] == 0


def test_the_document_tells_each_sheet_what_it_needs_on_the_plates_that_it_finds():
    week = row()
    found = search(week, seconds=4)
    document = document_of(week, found)
    assert judge(document) == []
    asked = {one["id"]: one["press_cool_min"] for one in document["sheets"]}
    ordered = sorted(found.schedule.runs.values(), key=lambda run: run.transfer)
    assert [asked[run.sheet] for run in ordered] == [least for _, least in stays(week, found.schedule.runs)]


def test_what_the_priority_rules_plan_is_a_plan_of_the_model_to_the_minute():
    for seed in range(20):
        week = drawn(seed, sheets=3, end=30)
        model, ruled = WeekModel(week), dispatch(week)
        assert as_in(model.m, week, model.chains, model.heated, ruled.schedule)


def under_way(now=14):
    """One mould was clamped and has left for the rack, a second one is in the cooling press."""
    week = row()
    both = ("A", "B")

    def done(first, transfer, leave, n):
        steps = [
            ("weigh", first, first + 1, ("SCALE",), ("A",)), ("prepare", first + 1, first + 2, ("BENCH",), ("A",)),
            ("load", first + 2, first + 3, ("BENCH", "HP1"), both), ("transfer", transfer, transfer + 1, ("HP1", "CP1"), both),
        ]  # fmt: skip
        if leave is not None:
            steps.append(("move", leave, leave + 1, ("CP1", "R1"), both))
        works = tuple(Work(step=s, start=a, end=b, places=p, people=w) for s, a, b, p, w in steps)
        return Done(works=works, frame=f"F{n}", skins=f"S{n}", figures={})

    one, two, *others = week.sheets
    one, two = replace(one, done=done(0, 6, 8, 0)), replace(two, done=done(5, 12, None, 1))
    return replace(week, now=now, sheets=(one, two, *others), hot={"HP1": tuple(week.supervised())})


def test_going_on_from_now_moulds_clamped_this_morning_have_warmed_the_plates():
    week = under_way()
    for runs in (search(week, seconds=4).schedule.runs, dispatch(week).schedule.runs):
        warmth = warmths(week, runs)
        assert warmth["01"] == 0
        assert warmth["02"] > 0  # by what the first left when it was moved
        found = stays(week, runs)
        assert found[1][0] >= found[1][1] > 1
        assert found[2][0] >= found[2][1] > 1


def test_one_more_cooling_press_begins_with_cold_plates():
    week = row(sheets=2)
    (more,) = [one.week for one in reliefs(week) if one.what == "a second cooling press"]
    runs = search(more, seconds=3).schedule.runs
    assert {"CP1 again"} <= set(more.sheets[0].kind.warming)
    assert all(stay >= asked for stay, asked in stays(more, runs))
