"""Events: what they carry, and that nothing is lost on the way."""

from datetime import UTC, datetime, timedelta, timezone

import pytest
from hypothesis import given
from hypothesis import strategies as st

from flatstock.running.event import Event
from flatstock.running.kinds import incomplete, kinds

NOW = datetime(2026, 3, 2, 9, 0, tzinfo=UTC)


def an_event(**changes):
    return Event(**{"id": "e1", "at": NOW, "noted_at": NOW, "kind": "note"} | changes)


instants = st.datetimes(
    timezones=st.sampled_from([UTC, timezone(timedelta(hours=2)), timezone(-timedelta(minutes=210))])
)
scalars = st.none() | st.booleans() | st.integers() | st.floats(allow_nan=False) | st.text()
words = st.none() | st.text(max_size=8)


@given(st.builds(
    Event, id=st.text(min_size=1), at=instants, noted_at=instants, kind=st.sampled_from(sorted(kinds())),
    who=st.lists(st.text(), max_size=3).map(tuple), sheet=words, place=words, facts=st.dictionaries(st.text(), scalars),
    corrects=words, why=words, device=words,
))  # fmt: skip
def test_an_event_survives_its_way_through_json(event):
    assert Event.of_json(event.as_json()) == event


def test_an_instant_without_an_offset_is_refused():
    with pytest.raises(ValueError, match="no offset"):
        an_event(at=datetime(2026, 3, 2, 9, 0))


def test_a_fact_that_json_cannot_carry_as_a_scalar_is_refused():
    with pytest.raises(ValueError, match="fact lots"):
        an_event(facts={"lots": ["L-1"]})


@pytest.mark.parametrize(
    ("said", "words"),
    [
        ({"kind": "note", "at": NOW.isoformat(), "noted_at": NOW.isoformat()}, "needs id"),
        ({"id": "e", "kind": "note", "at": 12, "noted_at": NOW.isoformat()}, "ISO 8601"),
        ({"id": "e", "kind": "note", "at": NOW.isoformat(), "noted_at": NOW.isoformat(), "whom": 1}, "no field whom"),
        ({"id": "e", "kind": "note", "at": NOW.isoformat(), "noted_at": NOW.isoformat(), "who": "OP1"}, "list of people"),
        ({"id": "e", "kind": "note", "at": NOW.isoformat(), "noted_at": NOW.isoformat(), "sheet": 3}, "a text"),
    ],
)  # fmt: skip
def test_what_is_no_event_is_refused_in_words(said, words):
    with pytest.raises(ValueError, match=words):
        Event.of_json(said)


def test_the_facts_of_an_event_cannot_be_changed_afterwards():
    with pytest.raises(TypeError):
        an_event(facts={"a": 1}).facts["a"] = 2


def test_a_whole_event_lacks_nothing():
    weighed = an_event(kind="weighed", sheet="S-1", who=("OP1",), facts={"lot": "L-1", "mass_kg": 11.74})
    assert incomplete(weighed) == []


@pytest.mark.parametrize(
    ("event", "where"),
    [
        (an_event(kind="sneezed"), "kind"),
        (an_event(kind="loaded", place="H1"), "sheet"),
        (an_event(kind="transferred", sheet="S-1"), "place"),
        (an_event(kind="undone"), "corrects"),
        (an_event(kind="corrected", corrects="e0"), "why"),
        (an_event(kind="weighed", sheet="S-1", facts={"lot": "L-1"}), "facts.mass_kg"),
        (an_event(kind="weighed", sheet="S-1", facts={"lot": "L-1", "mass_kg": "much"}), "facts.mass_kg"),
        (an_event(kind="heating_on", place="H1", facts={"colour": "blue"}), "facts.colour"),
    ],
)
def test_what_an_event_lacks_is_named(event, where):
    assert [fault.where for fault in incomplete(event)] == [where]


def test_every_kind_that_the_floor_was_promised_is_there():
    promised = (
        "weighed prepared loaded transferred moved demoulded trimmed measured platen_read heating_on heating_off"
        " power_cut power_back smoke accident undone corrected note"
    )
    assert set(promised.split()) <= set(kinds())
