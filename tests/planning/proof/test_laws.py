"""What must hold of any week that is settled with proof: more never hurts, later dues never hurt, a day is a day."""

from dataclasses import replace

from hypothesis import given, settings
from hypothesis import strategies as st

from flatstock.planning.check import judge
from flatstock.planning.problem.clock import Span
from flatstock.planning.problem.week import Site
from flatstock.planning.relief import reliefs
from flatstock.planning.solve.search import search
from tests.planning.proof.tiny import document_of, person, shifted, tiny_kind, tiny_week

END = 40
DAY = 24 * 60
RACK = Site(id="R1", kind="rack", capacity=1)
STACK = Site(id="ST1", kind="stack", capacity=2, more={"order": "last_in_first_out"})


@st.composite
def weeks(draw):
    stays = draw(st.sampled_from([(RACK,), (STACK,), (RACK, STACK)]))
    frames = draw(st.sampled_from([("F1",), ("F1", "F2")]))
    kinds = []
    for key in ("dark", "blue"):
        dwell, cool = draw(st.integers(1, 5)), draw(st.integers(1, 3))
        kinds.append(
            tiny_kind(
                key, dwell=dwell, latest=draw(st.sampled_from([None, dwell + 1])), cool=cool,
                whole=cool + draw(st.integers(2, 8)), rest={place.id: draw(st.integers(1, 6)) for place in stays},
                set_point=draw(st.sampled_from([195.0, 210.0])), frames=frames, skins=("S1", "S2"),
            )
        )  # fmt: skip
    noon = draw(st.integers(10, END - 10))
    people = [
        person("A", (0, noon), (noon + draw(st.integers(1, 4)), END)),
        person("B", (draw(st.integers(0, 3)), END), skills=("hot_transfer",)),
    ]
    wanted = [
        (draw(st.sampled_from(kinds)), draw(st.integers(12, END))) for _ in range(draw(st.integers(1, 4)))
    ]
    return tiny_week(
        wanted, end=END, people=people, stays=stays, frames=frames, skins=("S1", "S2"), saw=draw(st.booleans()),
        saw_while_hot=draw(st.booleans()), clean={("dark", "blue"): 1, ("blue", "dark"): 3},
    )  # fmt: skip


def proven(week, levels=2):
    """Late sheets and late minutes, each proven to be the least."""
    found = search(week, seconds=60, levels=levels)
    assert found.schedule is not None
    values = [(level.value, level.bound) for level in found.levels[:levels]]
    assert all(value == bound for value, bound in values)
    return tuple(value for value, _ in values)


@settings(max_examples=12, deadline=None)
@given(weeks())
def test_one_more_of_any_resource_never_makes_the_week_later(week):
    now = proven(week)
    for one in reliefs(week):
        if one.resource != "hours":  # a longer week counts what it leaves out as later
            assert proven(one.week) <= now, one.what


@settings(max_examples=12, deadline=None)
@given(weeks(), st.integers(1, 10))
def test_people_who_stay_longer_never_make_the_week_later(week, minutes):
    longer = tuple(
        replace(p, present=(*p.present[:-1], Span(p.present[-1].start, END + minutes))) for p in week.people
    )
    more = replace(week, people=longer, end=END + minutes, closing=END + minutes)
    late_sheets, _ = proven(week)
    assert proven(more)[0] <= late_sheets


@settings(max_examples=20, deadline=None)
@given(weeks(), st.data(), st.integers(1, 30))
def test_a_due_date_loosened_never_makes_the_week_later(week, data, minutes):
    n = data.draw(st.integers(0, len(week.sheets) - 1))
    loose = replace(week.sheets[n], due=week.sheets[n].due + minutes)
    # the order it came from no longer has one date
    loose = replace(loose, order=f"{loose.order}-later")
    more = replace(week, sheets=(*week.sheets[:n], loose, *week.sheets[n + 1 :]))
    assert proven(more) <= proven(week)


@settings(max_examples=12, deadline=None)
@given(weeks(), st.integers(-3, 3))
def test_a_week_shifted_by_days_is_as_late_and_its_plan_shifted_with_it_is_a_plan(week, days):
    found = search(week, seconds=60)
    later = shifted(week, days * DAY)
    runs = {
        name: replace(
            run,
            **{
                step: getattr(run, step) + days * DAY
                for step in ("weigh", "prepare", "load", "transfer", "leave", "demould", "ready")
            },
            trim=None if run.trim is None else run.trim + days * DAY,
        )
        for name, run in found.schedule.runs.items()
    }
    heated = {
        press: tuple((a + days * DAY, b + days * DAY) for a, b in spans)
        for press, spans in found.schedule.heated.items()
    }
    moved = replace(found, schedule=replace(found.schedule, runs=runs, heated=heated))
    document = document_of(later, moved)
    if document["left_out"]:
        document["proof"]["status"] = "impossible"
    assert judge(document) == []
    assert proven(later) == tuple(level.value for level in found.levels[:2])
