"""When it can't be done: which order slips, by how much, for want of what, and when it would be ready after all."""

from dataclasses import replace

import pytest

from flatstock.actions.helping import Help, Tried, helps
from flatstock.actions.lacking import short
from flatstock.actions.plan_rounds import Agreed
from flatstock.actions.plans import the_better
from flatstock.actions.ready_later import later_on
from flatstock.actions.shortfall import explained
from flatstock.planning.check import judge
from flatstock.planning.dispatch.rule import dispatches
from flatstock.planning.problem.clock import Span
from flatstock.planning.problem.week import Site
from flatstock.planning.relief import Relief, reliefs, what_is_away
from flatstock.planning.solve.search import search
from tests.planning.proof.tiny import document_of, person, tiny_kind, tiny_week

RACK = Site(id="R1", kind="rack", capacity=2)
HOURS = 24 * 60


def days(count, length):
    return [(n * HOURS, n * HOURS + length) for n in range(count)]


def week(sheets, *, frames=("F1",), due=30, length=24, of=1):
    """One day of `length` minutes, or `of` days, in which a frame can be turned once at most."""
    kind = tiny_kind("dark", dwell=4, cool=2, whole=10, rest={"R1": 6}, frames=frames)
    crew = [person(name, *days(of, length)) for name in ("A", "B")]
    return tiny_week(
        [(kind, due)] * sheets, end=(of - 1) * HOURS + length, people=crew, stays=(RACK,), frames=frames
    )


def told(asked, *, longer=None, seconds=3.0):
    found = search(asked, seconds=seconds)
    document = document_of(asked, found)
    tried = helps(asked, found, (), (), seconds=12.0, least=0.7, tell=lambda *_: False)
    later = later_on(asked, found.schedule, longer, seconds=5.0) if longer else None
    explained(document, asked, tried, later)
    return document


@pytest.fixture(scope="module")
def one_too_many():
    return told(week(2), longer=lambda further: replace(week(2, of=1 + further), closing=24))


def test_what_is_left_out_says_when_it_would_be_ready_in_the_days_after(one_too_many):
    (left,) = one_too_many["left_out"]
    assert left["ready"].startswith("2026-03-03T00:")
    assert left["late_min"] > HOURS - 30
    hours, rest = divmod(left["late_min"], 60)
    assert f"{hours} h {rest} min late" in left["because"]


def test_what_is_left_out_names_what_was_short_and_what_one_more_of_it_brings(one_too_many):
    (left,) = one_too_many["left_out"]
    assert "short of 12 mm frames" in left["because"]
    frame = next(one for one in left["would_help"] if one["what"] == "one more 12 mm frame with its skins")
    assert (frame["sheets"], frame["costs"]) == (1, "")


def test_a_date_after_the_plan_stands_on_what_the_plan_leaves_of_the_lots():
    asked = replace(week(2), lots={"L-1": 1.0})

    def longer(further):
        return replace(week(2, of=1 + further), lots={"L-1": 1.0})

    (left,) = told(asked, longer=longer)["left_out"]
    assert left["ready"] is None
    assert "finds no flake: L-1 has 0.0 kg left, each takes 1.0 kg" in left["because"]


def test_where_only_some_of_what_is_left_out_has_flake_for_the_days_after_the_others_are_told_apart():
    """It was said of all of them that they are ready then, and of one in the next sentence that it is not."""
    asked = replace(week(4), lots={"L-1": 3.0})

    def longer(further):
        return replace(week(4, of=1 + further), lots={"L-1": 3.0})

    (left,) = told(asked, longer=longer)["left_out"]
    assert "3 of its sheets find no time" in left["because"]
    assert "Planned into the time after it 2 of them are ready by" in left["because"]
    assert left["because"].endswith(
        "There is no time for the other in 4 weeks more: not enough is left of L-1"
    )


def test_an_order_larger_than_its_lot_asks_for_the_kilograms_that_are_missing():
    asked = replace(week(2, frames=("F1", "F2"), due=24), lots={"L-1": 1.0})
    (left,) = told(asked)["left_out"]
    assert "no flake" in left["because"]
    first = left["would_help"][0]
    assert (first["what"], first["sheets"]) == ("1 kg more of L-1", 1)


def test_a_late_order_says_for_want_of_what_and_by_how_much_less_it_would_be_late():
    document = told(week(2, length=60, due=20))
    (late,) = document["late"]
    assert "short of 12 mm frames" in late["because"][0]
    best = next(one for one in late["would_help"] if one["what"] == "one more 12 mm frame with its skins")
    with_two = search(week(2, length=60, due=20, frames=("F1", "F2")), seconds=10)
    assert best["saves_min"] == late["minutes"] - sum(
        short(week(2, length=60, due=20), with_two.schedule).late.values()
    )


def test_a_late_order_that_nothing_more_was_found_to_help_says_so():
    document = told(week(1, length=60, due=5))  # its own way through the shop takes longer
    (late,) = document["late"]
    assert late["would_help"] == []
    assert "no one thing more was found" in late["because"][0]


def test_helps_come_the_one_that_saves_most_first():
    document = told(week(3, length=60, due=18))
    for late in document["late"]:
        saved = [one["saves_min"] for one in late["would_help"]]
        assert saved == sorted(saved, reverse=True)


def test_a_week_in_time_asks_for_nothing():
    found = search(week(1), seconds=3)
    assert helps(week(1), found, (), (), seconds=1, least=1, tell=lambda *_: False) == Tried()


def test_what_there_is_no_time_to_try_is_said():
    asked, never = week(2), lambda: pytest.fail("there is no time to make this week")
    tried = helps(
        asked, search(asked, seconds=3), (), [("two fans on CP1", never)],
        seconds=0.0, least=1.0, tell=lambda *_: False,
    )  # fmt: skip
    assert "two fans on CP1" in tried.untried
    document = document_of(asked, search(asked, seconds=3))
    explained(document, asked, tried, None)
    assert any("no time to try" in words and "two fans on CP1" in words for words in document["warnings"])


def test_one_thing_that_helps_is_named_however_short_the_time():
    """Two sheets and one frame, which can be turned once: the plan took all the time there was."""
    asked = week(2)
    tried = helps(asked, search(asked, seconds=3), (), (), seconds=0.0, least=1.0, tell=lambda *_: False)
    assert tried.found[0].missing
    assert "one more 12 mm frame with its skins" in {one.what for one in tried.found}


def test_what_the_heat_model_works_out_is_led_through_the_shop_by_ways_that_go_worse_in_the_week_as_it_is(
    monkeypatch,
):
    """With fans another way is the best: the one that is in still air finds no more sheets with them than without."""
    asked, fans = week(2), replace(week(2), frames={"F1": 12.0, "F2": 12.0})
    led = []

    def ways(of, **named):
        led.append((of is fans, tuple(named.get("hows", ()))))
        return dispatches(of, **named)

    monkeypatch.setattr("flatstock.actions.helping.dispatches", ways)
    blown = Relief("two fans on CP1", "cooling under pressure", fans)
    plan = search(asked, seconds=3)
    helps(
        asked, plan, (), [("two fans on CP1", lambda: blown)], seconds=4.0, least=9.0, tell=lambda *_: False
    )
    assert (True, ()) in led


def test_what_is_known_to_help_is_told_when_somebody_breaks_off():
    asked, looks = week(2), []

    def tell(*_):
        looks.append(1)
        if len(looks) == 4:
            raise KeyboardInterrupt
        return False

    tried = helps(asked, search(asked, seconds=3), (), (), seconds=9.0, least=1.0, tell=tell)
    assert "one more 12 mm frame with its skins" in {one.what for one in tried.found}
    assert "a second hot press" in tried.untried


def test_what_was_due_before_now_is_said_to_be_late_in_every_plan():
    asked = replace(week(1, length=60, due=5), now=6)
    document = document_of(asked, search(asked, seconds=3))
    explained(document, asked, Tried(), None)
    (late,) = document["late"]
    assert late["because"][0] == "it was due before now, so that no plan has it in time"


def test_who_is_away_is_what_was_missing():
    """B is away for the last half of the hour: with B there the second sheet is in time."""
    kind = tiny_kind("dark", dwell=4, cool=2, whole=10, frames=("F1",))
    crew = [person("A", (0, 60)), replace(person("B", (0, 30)), away=(Span(30, 60),))]
    asked = tiny_week([(kind, 59), (kind, 59)], end=60, people=crew, frames=("F1",))
    document = document_of(asked, found := search(asked, seconds=3))
    explained(
        document,
        asked,
        helps(asked, found, (), (), seconds=6.0, least=0.5, tell=lambda *_: False),
        None,
    )
    (left,) = document["left_out"]
    assert any(one["what"] == "B there at the hours on file" for one in left["would_help"])
    assert "short of B, who is away" in left["because"]


def test_a_press_that_is_out_of_order_for_a_while_is_tried_as_if_it_worked():
    asked = week(1)
    broken = replace(asked.sites["HP1"], absent=(Span(0, 20),))
    away = what_is_away(replace(asked, sites={**asked.sites, "HP1": broken}))
    assert [one.what for one in away] == ["HP1 in order again"]


def test_a_press_out_of_order_to_the_end_is_named_as_what_is_missing():
    asked = week(1)
    broken = replace(asked.sites["HP1"], absent=(Span(0, asked.end + 1),))
    (left,) = told(replace(asked, sites={**asked.sites, "HP1": broken}))["left_out"]
    assert "HP1 is out of order to the end of the plan" in left["because"]


def test_one_person_left_with_the_skill_is_named_as_what_is_missing():
    asked = week(1)
    (left,) = told(replace(asked, people=asked.people[:1]))["left_out"]
    assert "no two people trained for hot transfers are there at once" in left["because"]


def test_where_nobody_may_saw_sheets_come_untrimmed_and_it_is_said():
    kind = tiny_kind("dark", dwell=4, cool=2, whole=10)
    crew = [person(name, (0, 40), skills=("hot_transfer",)) for name in ("A", "B")]
    asked = tiny_week([(kind, 39)], end=40, people=crew, saw=True)
    document = document_of(asked, search(asked, seconds=5))
    assert judge(document) == []
    assert "trim" not in {task["step"] for task in document["tasks"]}
    assert any("untrimmed" in words for words in document["warnings"])


def test_what_an_orders_own_sheets_use_is_named_before_what_only_leaves_them_room():
    asked = week(1, length=60, due=5)
    document = document_of(asked, search(asked, seconds=3))
    (order,) = (one["order"] for one in document["late"])
    tried = Tried(
        found=(
            Help("one more 6 mm frame", "6 mm frames", {order: 30}, {}, frozenset({"another"})),
            Help("an hour more", "hours", {order: 20}, {}, frozenset({order, "another"})),
        )
    )
    explained(document, asked, tried, None)
    (late,) = document["late"]
    assert late["because"][0].startswith("short of hours: planned again with an hour more")
    assert late["because"][1].startswith("other orders, short of 6 mm frames, leave it no room")


def test_a_frame_serves_the_orders_of_its_thickness_alone():
    thick = tiny_kind("dark", frames=("F1",))
    thin = replace(tiny_kind("blue", frames=("F2",)), thickness=6.0)
    crew = [person(name, (0, 40)) for name in ("A", "B")]
    asked = tiny_week([(thick, 39), (thin, 39)], end=40, people=crew, frames=("F1", "F2"))
    frame = next(one for one in reliefs(asked) if one.what.startswith("one more 6 mm frame"))
    hours = next(one for one in reliefs(asked) if one.resource == "hours")
    assert frame.serves() == {"O-blue-39"}
    assert hours.serves() == {"O-blue-39", "O-dark-39"}


def test_what_more_search_alone_would_have_found_is_no_merit_of_one_thing_more():
    """The plan leaves a sheet out for which there is time: nothing is short, and it is said that time was."""
    asked = week(1)
    good = search(asked, seconds=3)
    poor = replace(good, schedule=replace(good.schedule, runs={}))
    tried = helps(asked, poor, (), (), seconds=6.0, least=0.5, tell=lambda *_: False)
    assert tried.found == ()
    assert set(tried.better.runs) == {"01"}
    document = document_of(asked, poor)
    explained(document, asked, tried, None)
    assert any("A better plan of the week as it is was found" in words for words in document["warnings"])


def test_a_help_by_which_others_lose_says_what_they_lose():
    asked = week(1, length=60, due=5)
    document = document_of(asked, search(asked, seconds=3))
    (order,) = (one["order"] for one in document["late"])
    one = Help("an hour more", "hours", {order: 20, "O-2": -12}, {"O-3": -1}, frozenset({order}))
    explained(document, asked, Tried(found=(one,)), None)
    (late,) = document["late"]
    assert late["because"] == [
        "short of hours: planned again with an hour more it is 20 min less late, though O-2 is 12 min later and 1 sheet"
        " of O-3 finds no time"
    ]
    assert late["would_help"][0]["costs"] == "O-2 is 12 min later and 1 sheet of O-3 finds no time"


def test_a_better_plan_met_while_looking_for_help_is_kept_once_the_heat_model_lets_it_pass():
    asked = week(1)
    good = search(asked, seconds=3)
    (late, *levels) = good.levels
    poor = replace(good, levels=(replace(late, value=late.value + 1), *levels))
    kept, met = Agreed(asked, poor, [], 2), Agreed(asked, good, [], 1)
    taken, tried = the_better(kept, Tried(better=good.schedule), lambda plan: met)
    assert (taken.found, taken.rounds, tried.better) == (good, 3, None)
    assert the_better(met, Tried(better=good.schedule), lambda plan: kept)[0] is met


def test_what_nobody_waits_for_is_done_in_a_later_week_rather_than_not_at_all():
    no_due = [replace(sheet, due=None) for sheet in week(2, of=2).sheets]
    asked = replace(week(2, of=2), sheets=tuple(no_due), closing=8)  # too soon for a first sheet
    found = search(asked, seconds=3.0)
    assert len(found.schedule.runs) == 2
    assert next(one.value for one in found.levels if one.name == "sheets_after_closing") == 2


def test_an_hour_more_for_a_night_shift_is_worked_in_the_morning_and_nobodys_break_is():
    evening = (20 * 60, 24 * 60 + 30)
    rest = (25 * 60, 29 * 60)
    nights = [evening, rest, *((a + HOURS, b + HOURS) for a, b in (evening, rest))]
    kind = tiny_kind("dark")
    asked = tiny_week([(kind, None)], end=4 * HOURS, people=[person("A", *nights), person("B", *nights)])
    (more,) = (one.week for one in reliefs(asked) if one.resource == "hours")
    assert [(s.start, s.end) for s in more.people[0].present] == [
        (a, b + 60 if (a, b) in (nights[1], nights[3]) else b) for a, b in nights
    ]


def test_an_hour_more_is_tried_too_where_somebodys_hours_are_over():
    asked = tiny_week(
        [(tiny_kind("dark"), None)], end=480, people=[person("A", (0, 480)), person("gone home")]
    )
    (more,) = (one.week for one in reliefs(asked) if one.resource == "hours")
    assert [one.present for one in more.people] == [(Span(0, 540),), ()]
