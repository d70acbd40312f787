"""Minutes of changing set-point and colour: the last level of a plan, its bound, and the order that has fewest."""

from datetime import datetime, timedelta

from flatstock.planning.solve.cpsat import completed, evaluate, plain
from flatstock.planning.solve.found import Level
from flatstock.planning.solve.in_order import kinds_in_order
from flatstock.planning.solve.least import least_changeover
from flatstock.planning.solve.search import search
from flatstock.planning.solve.settings import changeover
from flatstock.planning.solve.turns import add_turns
from flatstock.planning.solve.week_model import WeekModel
from tests.planning.proof.tiny import document_of, person, tiny_kind, tiny_week


def one_frame(keys, clean, *, end=70):
    """So long a turn of the one frame that every change finds room in it: heat is the same in any order."""
    kinds = {key: tiny_kind(key, cool=1, whole=5) for key in keys}
    people = [person(name, (0, end)) for name in "AB"]
    return tiny_week([(kinds[key], end) for key in keys], end=end, people=people, clean=clean)


DARK_LAST = {("blue", "dark"): 1, ("dark", "blue"): 3}


def test_where_heat_is_the_same_a_kind_is_pressed_in_one_go_and_the_light_one_first():
    week = one_frame(["dark", "blue", "dark"], DARK_LAST)
    found = search(week, seconds=60)
    assert found.levels[-1] == Level("changeover_min", 1.0, 1.0)
    order = [week.sheets[int(name) - 1].kind.key for name in sorted(found.schedule.runs, key=loaded(found))]
    assert order == ["blue", "dark", "dark"]


def test_minutes_of_changing_are_those_of_the_documents_settings():
    week = one_frame(["dark", "blue", "dark"], DARK_LAST)
    found = search(week, seconds=60, levels=3)
    document = document_of(week, found)
    spans = [
        datetime.fromisoformat(one["end"]) - datetime.fromisoformat(one["start"])
        for one in document["settings"]
        if one["kind"] in ("raise", "lower", "clean")
    ]
    minutes = sum(spans, timedelta()).total_seconds() / 60
    assert found.levels[-1].value == changeover(week, found.schedule) == minutes > 0


def test_the_bound_is_the_shortest_way_over_the_kinds_that_have_to_be_pressed():
    clean = {("b", "c"): 2, ("c", "a"): 1}
    clean |= {(x, y): 9 for x in "abc" for y in "abc" if x != y and (x, y) not in clean}
    assert least_changeover(one_frame(["a", "b", "c"], clean), late=0, missing=0, seconds=60) == 3


def test_kinds_that_lie_apart_in_a_stay_are_brought_together():
    week = one_frame(["dark", "blue", "dark", "blue"], DARK_LAST)
    model = WeekModel(week)
    turns = add_turns(model)
    model.m.add(model.late_sheets + model.unfinished == 0)
    in_turn = [(chain.load, 15 * n, 15 * n + 14) for n, chain in enumerate(model.chains)]
    values = completed(model.m, in_turn, seconds=60)
    met = []

    def heard(values, value):
        met.append(value)
        return False

    assert evaluate(turns.minutes, plain(values)) == 3 + 1 + 3
    kinds_in_order(model, turns, turns.minutes, values, seconds=60, tell=heard)
    assert met[-1] == 1


def loaded(found):
    return lambda name: found.schedule.runs[name].load
