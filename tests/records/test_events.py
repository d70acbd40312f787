"""Events: added once, never changed, read in the order in which they came."""

from dataclasses import replace
from datetime import UTC, datetime, timedelta, timezone
from threading import Thread
from zoneinfo import ZoneInfo

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st
from sqlalchemy import text

from flatstock.errors import Refused
from flatstock.records import Store, events, open_store
from flatstock.running.event import Event
from tests.records.some import MONDAY, an_event

FEW = settings(max_examples=25, deadline=None, suppress_health_check=[HealthCheck.function_scoped_fixture])


def test_an_event_comes_back_as_it_was_told(store: Store):
    told = an_event()
    assert store.append([told]) == [1]
    assert list(store.events()) == [(1, told)]


def test_records_that_are_opened_again_hold_what_they_held(where: str):
    with open_store(where) as first:
        first.append([an_event()])
    with open_store(where) as second:
        assert [e.id for _, e in second.events()] == ["E-1"]


def test_an_event_told_twice_is_kept_once_under_the_number_it_has(store: Store):
    store.append([an_event("a"), an_event("b")])
    assert store.append([an_event("c"), an_event("b"), an_event("c")]) == [3, 2, 3]
    assert [e.id for _, e in store.events()] == ["a", "b", "c"]


def test_an_id_is_never_given_to_another_event(store: Store):
    store.append([an_event("a")])
    with pytest.raises(Refused, match="'a' is on record for another event"):
        store.append([an_event("b"), an_event("a", place="HP2")])
    assert store.last() == 1


def test_the_same_instant_on_another_clock_is_the_same_event(store: Store):
    store.append([an_event("a")])
    east = timezone(timedelta(hours=9))
    assert store.append([an_event("a", at=MONDAY.astimezone(east))]) == [1]


def test_an_instant_in_the_hour_that_autumn_repeats_is_told_twice_and_kept_once(store: Store):
    repeated = datetime(2026, 10, 25, 2, 30, fold=1, tzinfo=ZoneInfo("Europe/Berlin"))
    assert store.append([an_event("a", at=repeated)]) == store.append([an_event("a", at=repeated)])
    ((_, kept),) = store.events()
    assert kept.at == datetime(2026, 10, 25, 1, 30, tzinfo=UTC)


def test_what_corrects_an_event_that_is_not_on_record_is_refused_and_nothing_is_kept(store: Store):
    with pytest.raises(Refused, match="'b' corrects 'lost', which is not on record"):
        store.append([an_event("a"), an_event("b", kind="undone", corrects="lost")])
    assert store.last() == 0


def test_a_correction_may_come_before_what_it_corrects_in_one_parcel(store: Store):
    parcel = [an_event("b", kind="undone", corrects="a"), an_event("a")]
    assert store.append(parcel) == [1, 2]
    assert [e.id for _, e in store.events(correcting="a")] == ["b"]


def test_events_are_read_from_where_one_left_off(store: Store):
    store.append(an_event(f"E-{n}") for n in range(5))
    assert [n for n, _ in store.events(after=3)] == [4, 5]


def test_events_are_chosen_by_sheet_kind_and_instant(store: Store):
    store.append(
        [
            an_event("a"),
            an_event("b", sheet="B-015"),
            an_event("c", kind="transferred"),
            an_event("d", at=MONDAY + timedelta(hours=1)),
        ]
    )
    assert [e.id for _, e in store.events(sheet="B-015")] == ["b"]
    assert [e.id for _, e in store.events(kinds=["transferred"])] == ["c"]
    assert [e.id for _, e in store.events(since=MONDAY + timedelta(minutes=1))] == ["d"]


@pytest.mark.parametrize(
    "statement",
    [
        "update event set kind = 'note'",
        "delete from event",
        "update event set id = 'z', seq = 9",
    ],
)
def test_no_statement_changes_an_event_or_takes_it_out(store: Store, statement: str):
    store.append([an_event()])
    with pytest.raises(Refused, match="rows of event are only ever added"), store.writing() as db:
        db.execute(text(statement))
    assert list(store.events()) == [(1, an_event())]


def test_replacing_an_event_in_sqlite_changes_nothing(tmp_path):
    with open_store(tmp_path) as store:
        store.append([an_event()])
        with store.writing() as db:
            db.execute(
                text(
                    "insert or replace into event (seq, id, at, noted_at, kind, who, facts, kept_at)"
                    " select seq, id, at, noted_at, 'note', who, facts, kept_at from event"
                )
            )
        assert list(store.events()) == [(1, an_event())]


def test_emptying_the_table_of_events_in_postgresql_is_refused(postgres):
    with open_store(postgres()) as store:
        store.append([an_event()])
        with pytest.raises(Refused, match="only ever added"), store.writing() as db:
            db.execute(text("truncate event cascade"))


def test_a_number_without_an_end_is_refused(store: Store):
    with pytest.raises(Refused, match="mass_kg is nan"):
        store.append([an_event(facts={"mass_kg": float("nan")})])


def test_a_text_that_no_database_keeps_is_refused(store: Store):
    with pytest.raises(Refused, match="holds what is no text"):
        store.append([an_event(why="a\0b")])


def test_an_action_that_fails_keeps_nothing(store: Store):
    with pytest.raises(ZeroDivisionError), store.writing() as db:
        events.append(db, [an_event(why=str(1 / 0) if events.append(db, [an_event()]) else None)])
    assert store.last() == 0


def test_writers_side_by_side_lose_nothing_and_number_without_gaps(store: Store):
    def write(who: str) -> None:
        for n in range(20):
            store.append([an_event(f"{who}-{n}", device=who)])

    writers = [Thread(target=write, args=(name,)) for name in ("wall", "phone", "desk")]
    for writer in writers:
        writer.start()
    for writer in writers:
        writer.join()
    assert [n for n, _ in store.events()] == list(range(1, 61))


TEXTS = st.text(st.characters(exclude_characters="\0", exclude_categories=["Cs"]), max_size=20)
MAYBE = st.none() | TEXTS
INSTANTS = st.datetimes(datetime(1970, 1, 2), datetime(2200, 1, 1), timezones=st.timezones())
SCALARS = (
    st.none()
    | st.booleans()
    | TEXTS
    | st.integers(-(2**53), 2**53)
    | st.floats(allow_nan=False, allow_infinity=False)
)
EVENTS = st.builds(
    Event,
    id=TEXTS.filter(bool),
    at=INSTANTS,
    noted_at=INSTANTS,
    kind=TEXTS,
    who=st.lists(TEXTS, max_size=3).map(tuple),
    sheet=MAYBE,
    place=MAYBE,
    facts=st.dictionaries(TEXTS, SCALARS, max_size=4),
    why=MAYBE,
    device=MAYBE,
)


@FEW
@given(parcel=st.lists(EVENTS, max_size=8, unique_by=lambda e: e.id))
def test_any_events_come_back_equal_however_often_they_are_told(store: Store, parcel: list[Event]):
    before = store.last()
    known = {e.id for _, e in store.events()}
    parcel = [e for e in parcel if e.id not in known]
    numbers = store.append(parcel)
    assert store.append(reversed(parcel)) == numbers[::-1]
    assert [e for _, e in store.events(after=before)] == [in_utc(e) for e in parcel]


def in_utc(event: Event) -> Event:
    return replace(event, at=event.at.astimezone(UTC), noted_at=event.noted_at.astimezone(UTC))
