"""A mould that is in the hot press already stays past its latest dwell only where nothing takes it out in time."""

from __future__ import annotations

from dataclasses import replace

import pytest

from flatstock.planning.dispatch.kept_order import in_kept_order
from flatstock.planning.overdue import overdue
from flatstock.planning.problem.clock import Span
from flatstock.planning.problem.schedule import Run, Schedule
from flatstock.planning.problem.stranded import over_at_least
from flatstock.planning.problem.week import Done, Work
from flatstock.planning.solve.search import search
from tests.planning.proof.tiny import person, tiny_kind, tiny_week

NOW, LOADED, LATEST = 12, 10, 6  #: minutes; it has to be out by minute 16
HANDS = ("A", "B")


def works(*steps):
    return tuple(
        Work(step=name, start=a, end=b, places=places, people=who) for name, a, b, places, who in steps
    )


def in_the_press(*, now=NOW, there=((0, 60),)):
    """One mould in the press, and one more to be pressed after it. `there`: when the second pair of hands is."""
    kind = tiny_kind("dark", dwell=4, latest=LATEST)
    people = [person("A", (0, 60)), person("B", *there)]  # heaters are never on without one of them
    week = tiny_week([(kind, 60), (kind, 60)], end=60, people=people, frames=("F1", "F2"))
    first, second = (replace(one, kind=replace(kind, frames=("F1", "F2"))) for one in week.sheets)
    done = works(
        ("weigh", 0, 1, ("SCALE",), ("A",)),
        ("prepare", 7, 8, ("BENCH",), ("A",)),
        ("load", LOADED - 1, LOADED, ("BENCH", "HP1"), HANDS),
    )
    first = replace(first, done=Done(works=done, frame="F1", skins="S1", figures={}))
    return replace(week, now=now, sheets=(first, second), hot={"HP1": tuple(week.supervised())})


def as_planned(transfer, *, load=40):
    """The plan before: the mould in the press was to be lifted at a minute, the next loaded at another."""
    steps = {"press": "HP1", "cooling": "CP1", "scale": "SCALE", "bench": "BENCH", "stay": None, "demould_at": "BENCH",
             "trim": None, "saw": None}  # fmt: skip
    first = Run(sheet="01", weigh=0, prepare=7, load=9, transfer=transfer, leave=transfer + 5, demould=transfer + 5,
                ready=transfer + 6, **steps)  # fmt: skip
    second = Run(sheet="02", weigh=load - 3, prepare=load - 2, load=load, transfer=load + 5, leave=load + 10,
                 demould=load + 10, ready=load + 11, **steps)  # fmt: skip
    return {"01": first, "02": second}


def lifted(week, transfer):
    found = search(week, seconds=3, before=as_planned(transfer))
    return found.schedule.runs["01"].transfer, {one.name: one for one in found.levels}


@pytest.mark.parametrize("by_rule", [True, False])
def test_where_hands_are_there_it_leaves_by_its_latest_whatever_the_plan_before_said(by_rule):
    found = search(in_the_press(), seconds=3, before=as_planned(20), by_rule=by_rule)
    assert found.schedule.runs["01"].transfer <= LOADED + LATEST


def test_the_minutes_past_the_latest_are_sought_before_anything_else_and_proven():
    _, levels = lifted(in_the_press(there=((0, 14), (19, 60))), 20)
    over = levels["over_latest_min"]
    assert next(iter(levels)) == "over_latest_min"
    assert (over.value, over.bound) == (3, 3)


def test_where_hands_come_after_its_latest_it_leaves_as_soon_as_they_are_there():
    transfer, _ = lifted(in_the_press(there=((0, 14), (19, 60))), 30)
    assert transfer == 19


def test_what_is_over_its_latest_already_leaves_at_once():
    transfer, _ = lifted(in_the_press(now=25), 40)
    assert transfer == 25


def test_of_what_has_not_been_loaded_no_minute_past_the_latest_is_planned():
    found = search(in_the_press(), seconds=3, before=as_planned(14, load=20))
    run = found.schedule.runs["02"]
    assert run.transfer - run.load - 1 <= LATEST


def test_where_nothing_hot_is_in_a_press_nothing_is_sought_of_it():
    kind = tiny_kind("dark", dwell=4, latest=LATEST)
    week = tiny_week([(kind, 60)], end=60, people=[person(name, (0, 60)) for name in HANDS])
    assert "over_latest_min" not in [one.name for one in search(week, seconds=2).levels]


def test_no_plan_has_fewer_minutes_past_the_latest_than_hands_and_cooling_presses_leave():
    """Held against the search's own proof, for hands and for a cooling press that come back at each minute."""
    for minute in range(14, 24):
        week = in_the_press(there=((0, 14), (minute, 60)))
        _, levels = lifted(week, 20)
        assert over_at_least(week) == levels["over_latest_min"].value == max(0, minute - LOADED - LATEST)
        out = replace(
            in_the_press(), sites=week.sites | {"CP1": replace(week.sites["CP1"], absent=(Span(0, minute),))}
        )
        _, levels = lifted(out, 20)
        assert over_at_least(out) == levels["over_latest_min"].value == max(0, minute - LOADED - LATEST)


def in_two_presses():
    """A mould that has to be out by minute 102 and cools for long, and one behind it that has until 144; it is 100."""
    thick = tiny_kind(
        "dark", dwell=40, latest=42, cool=45, whole=45, presses=("HP1", "HP2"), skins=("S1", "S2")
    )
    thin = tiny_kind(
        "white", dwell=9, latest=54, cool=21, whole=21, presses=("HP1", "HP2"), skins=("S1", "S2")
    )
    people = [person(name, (0, 300)) for name in "ABC"]
    week = tiny_week(
        [(thick, 290), (thin, 290)], end=300, people=people, presses=("HP1", "HP2"), frames=("F1", "F2")
    )
    sheets = []
    for sheet, frame, skins, press, loaded in zip(
        week.sheets, ("F1", "F2"), ("S1", "S2"), ("HP1", "HP2"), (60, 90), strict=True
    ):
        done = works(
            ("weigh", loaded - 9, loaded - 8, ("SCALE",), ("A",)),
            ("prepare", loaded - 5, loaded - 4, ("BENCH",), ("A",)),
            ("load", loaded - 1, loaded, ("BENCH", press), HANDS),
        )
        kind = replace(sheet.kind, frames=("F1", "F2"))
        sheets.append(replace(sheet, kind=kind, done=Done(works=done, frame=frame, skins=skins, figures={})))
    hot = {press: tuple(week.supervised()) for press in ("HP1", "HP2")}
    return replace(week, now=100, sheets=tuple(sheets), hot=hot)


def test_a_mould_that_spoils_soon_goes_first_though_the_one_behind_it_is_a_little_over_by_then():
    """The one behind had until 45 minutes from now, and its latest was a minute before: it was taken out first, and
    the other stayed hot for 25 minutes too long."""
    found = search(in_two_presses(), seconds=5, before=as_planned(100))
    over = next(one for one in found.levels if one.name == "over_latest_min")
    runs = found.schedule.runs
    assert runs["01"].transfer <= 102
    assert over.value == runs["02"].transfer - 144 <= 5


def test_the_plan_before_is_mended_so_too_with_no_search():
    """What is over its dwell first went first."""
    week = in_two_presses()
    runs = in_kept_order(week, as_planned(100)).runs
    assert runs["01"].transfer <= 102
    assert runs["02"].transfer - 144 <= 5
    (said,) = overdue(week, Schedule(runs=runs, heated={}))
    assert said.endswith("past its latest (Mon 02:24): CP1 holds 01 until 02:26.")


def test_it_is_said_what_is_in_the_way_then_and_not_what_comes_into_the_cooling_press_days_later():
    runs = as_planned(22)
    between = replace(runs["02"], sheet="03", transfer=13, leave=21, demould=21)
    said = list(overdue(in_the_press(), Schedule(runs=runs | {"03": between}, heated={})))
    assert said == [
        "01 leaves HP1 at Mon 00:22, 6 min past its latest (Mon 00:16): CP1 holds 03 until 00:21."
    ]
