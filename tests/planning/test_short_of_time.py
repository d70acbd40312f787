"""What a plan tells and does where there is little time, or none is left."""

from flatstock.actions.ready_later import later_on
from flatstock.planning.dispatch import rule
from flatstock.planning.problem.schedule import Schedule
from flatstock.planning.solve.course import Course
from tests.planning.proof.tiny import person, tiny_kind, tiny_week

DAY = 24 * 60


def one_sheet(*, days):
    """One sheet that takes ten minutes, of `days` with forty each."""
    kind = tiny_kind("dark", dwell=4, cool=2, whole=10)
    crew = [person(name, *((n * DAY, n * DAY + 40) for n in range(days))) for name in ("A", "B")]
    return tiny_week([(kind, 39)], end=(days - 1) * DAY + 40, people=crew)


def test_with_no_time_left_what_is_left_out_is_led_through_the_shop_by_two_rules_a_week_at_most(monkeypatch):
    led = []
    by = rule._by
    monkeypatch.setattr(rule, "_by", lambda *args, **named: led.append(1) or by(*args, **named))
    left_out = Schedule(runs={}, heated={})
    later = later_on(one_sheet(days=1), left_out, lambda further: one_sheet(days=1 + further), seconds=0.0)
    assert later.ready
    assert len(led) <= rule.FEWEST


def test_before_there_is_a_plan_no_number_of_late_sheets_is_told(monkeypatch):
    monkeypatch.setattr("flatstock.planning.solve.course.ASKED_EVERY", -1.0)
    told = []

    def tell(name, value, bound):
        told.append(name)
        return False

    course = Course(one_sheet(days=1), 5.0, tell, repeatable=False)
    assert not course.over(5.0)()
    assert told == ["trying"]
