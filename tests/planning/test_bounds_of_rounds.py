"""What is proved of a week that a rehearsal has made harder is no bound on the week itself."""

from types import SimpleNamespace

from flatstock.actions.plan_rounds import _bounded, agree
from flatstock.planning.solve.found import Found, Level
from flatstock.planning.solve.search import search
from tests.planning.heat_says import verdict
from tests.planning.proof.tiny import person, tiny_kind, tiny_week


def found(*levels):
    return Found(None, {}, tuple(Level(*one) for one in levels), "optimal", 1.0)


def test_a_proof_of_a_harder_week_leaves_the_bound_as_the_week_itself_has_it():
    first = (Level("late_sheets", 0.0, 0.0), Level("heaters_Wh", 90.0, 70.0))
    harder = found(("late_sheets", 0.0, 0.0), ("heaters_Wh", 100.0, 100.0))
    told = _bounded(harder, [first])
    assert [level.bound for level in told.levels] == [0.0, 70.0]
    assert told.status == "feasible"


def test_a_bound_holds_only_where_the_levels_before_it_are_the_same():
    first = (Level("late_sheets", 0.0, 0.0), Level("heaters_Wh", 90.0, 70.0))
    later = found(("late_sheets", 1.0, 1.0), ("heaters_Wh", 60.0, 60.0))
    assert [level.bound for level in _bounded(later, [first]).levels] == [0.0, 0.0]


def test_what_is_proved_of_the_week_itself_is_proved():
    levels = (("late_sheets", 0.0, 0.0), ("heaters_Wh", 90.0, 90.0))
    assert _bounded(found(*levels), [tuple(Level(*one) for one in levels)]).status == "optimal"


def test_what_no_plan_has_less_of_holds_whatever_the_levels_before_it():
    later = found(("late_sheets", 1.0, 1.0), ("sheets_after_closing", 60.0, 60.0))
    first = (Level("late_sheets", 2.0, 0.0), Level("sheets_after_closing", 58.0, 50.0))
    told = _bounded(later, [first], {"sheets_after_closing": 24.0})
    assert [level.bound for level in told.levels] == [0.0, 24.0]


def test_where_less_was_late_in_the_round_that_was_proved_the_heat_has_a_bound_of_its_own():
    """The heat model asks for so long a dwell that the sheet gets late: the bound of the first round says nothing of
    such plans, and 0 was told."""
    week = tiny_week([(tiny_kind("dark"), 20)], end=60, people=[person("A", (0, 60)), person("B", (0, 60))])
    asks = iter([60.0 * 30])

    def heat(shop, goings):
        more = next(asks, 0.0)
        word = "raw" if more else "good"
        return [verdict(one.sheet, word, more_dwell=more) for one in goings]

    agreed = agree(
        SimpleNamespace(orders={week.sheets[0].order: None}), lambda order, press: None, week, seconds=20.0,
        rehearsed=True, tell=lambda *_: False, say=lambda _: None, before={}, soonest=frozenset(), like=None,
        seek=search, heat=heat,
    )  # fmt: skip
    levels = {level.name: level for level in agreed.found.levels}
    assert levels["late_sheets"].value == 1
    assert 0 < levels["heaters_Wh"].bound <= levels["heaters_Wh"].value
