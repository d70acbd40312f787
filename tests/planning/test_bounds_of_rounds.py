"""What is proved of a week that a rehearsal has made harder is no bound on the week itself."""

from flatstock.actions.plan_rounds import _bounded
from flatstock.planning.solve.found import Found, Level


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
