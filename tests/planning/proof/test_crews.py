"""People by name in the model: what it allows is what people can do."""

from hypothesis import given
from hypothesis import strategies as st

from flatstock.planning.problem.clock import Span
from flatstock.planning.problem.steps import Step
from flatstock.planning.problem.week import Person
from flatstock.planning.solve.chains import Hands
from flatstock.planning.solve.cpsat import completed, new_model
from flatstock.planning.solve.crews import add_crews
from flatstock.planning.solve.people import name_people
from tests.planning.proof.tiny import tiny_week

END = 24
works = st.lists(
    st.tuples(st.integers(0, END - 6), st.integers(1, 6), st.integers(1, 2), st.sampled_from(["", "saw"])),
    min_size=1,
    max_size=6,
)
stays = st.lists(
    st.tuples(st.integers(0, END - 8), st.integers(6, 12)).map(lambda s: Span(s[0], min(END, s[0] + s[1]))),
    min_size=1,
    max_size=2,
)


@given(works, st.lists(st.tuples(stays, st.booleans()), min_size=1, max_size=3))
def test_steps_get_their_people_in_the_model_exactly_where_each_can_be_named(listed, those):
    people = [
        Person(
            id=f"P{n}", skills=frozenset({"saw"} if skilled else ()), present=tuple(sorted(set(present))[:1])
        )
        for n, (present, skilled) in enumerate(those)
    ]
    week = tiny_week([], end=END, people=people)
    steps = [
        Step(sheet=f"{n}", name="trim", start=start, end=start + minutes, places=(), hands=hands, skill=skill)
        for n, (start, minutes, hands, skill) in enumerate(listed)
    ]
    model = new_model()
    hands = [
        Hands(model.new_constant(start), minutes, count, skill, model.new_constant(1))
        for start, minutes, count, skill in listed
    ]
    add_crews(model, week, hands)
    assert (completed(model, [], seconds=10) is not None) == (name_people(week, steps) is not None)
