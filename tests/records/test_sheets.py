"""Sheets on record: recipes frozen with their versions, steps, measurements, checks; corrections lead to what stands."""

from __future__ import annotations

from datetime import timedelta
from typing import Any

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st
from sqlalchemy import select

from flatstock.errors import Refused
from flatstock.records import Store, lots, sheets, trace
from flatstock.records.sheet_list import count_sheets, list_sheets
from flatstock.records.sheets import Recipe
from flatstock.records.tables.all import metadata
from flatstock.records.trace import Thing
from flatstock.running.event import Event
from flatstock.running.standing import standing
from tests.records.some import MONDAY, a_lot, a_weighing, an_event

BLUE = Recipe(
    name="O-1", body={"order": "O-1", "plastic": "hdpe", "thickness_mm": 12.0, "set_point_C": 195.0}
)


def minutes(number: float) -> dict[str, Any]:
    at = MONDAY + timedelta(minutes=number)
    return {"at": at, "noted_at": at}


def corrected(name: str, what: str, after: float, **changes: Any) -> Event:
    usual: dict[str, Any] = {"kind": "corrected", "sheet": None, "place": None, "facts": {}, "who": ("OP4",)}
    return an_event(name, **(usual | minutes(after) | {"corrects": what, "why": "told wrongly"} | changes))


def undone(name: str, what: str, after: float) -> Event:
    return corrected(name, what, after, kind="undone", why=None)


def mass_of(store: Store, lot: str = "L-1") -> float:
    with store.reading() as db:
        return lots.state_of(db, lot).mass


def test_a_recipe_is_kept_once_and_another_text_is_its_next_version(store: Store):
    hotter = Recipe(name="O-1", body={**BLUE.body, "set_point_C": 200.0})
    for n, made_by in enumerate((BLUE, BLUE, hotter, BLUE)):
        store.append([an_event(f"e{n}", sheet=f"B-{n}", **minutes(n))], {f"B-{n}": made_by})
    with store.reading() as db:
        assert [number for number, _, _ in sheets.versions_of(db, "O-1")] == [1, 2]
        found = [sheets.frozen_of(db, f"B-{n}") for n in range(4)]
    assert [one.version for one in found if one] == [1, 1, 2, 1]
    assert found[2] is not None
    assert found[2].body == hotter.body


def test_what_was_in_force_when_a_sheet_was_loaded_goes_before_its_weighing(store: Store):
    a_lot(store)
    later = Recipe(name="O-1", body={**BLUE.body, "set_point_C": 200.0})
    store.append([a_weighing("w", sheet="B-1")], {"B-1": BLUE})
    store.append([an_event("l", sheet="B-1", **minutes(30))], {"B-1": later})
    with store.reading() as db:
        assert sheets.frozen_of(db, "B-1").body["set_point_C"] == 200.0  # type: ignore[union-attr]
    store.append([undone("u", "l", 30.1)])
    with store.reading() as db:
        assert sheets.frozen_of(db, "B-1").body["set_point_C"] == 195.0  # type: ignore[union-attr]


def test_a_correction_keeps_the_recipe_that_was_in_force(store: Store):
    store.append([an_event("l", sheet="B-1")], {"B-1": BLUE})
    store.append(
        [corrected("c", "l", 50, at=MONDAY - timedelta(minutes=5))], {"B-1": Recipe(name="O-1", body={})}
    )
    with store.reading() as db:
        frozen, steps = sheets.frozen_of(db, "B-1"), sheets.steps_of(db, "B-1")
    assert frozen is not None
    assert frozen.body == BLUE.body
    assert [(one.kind, one.at) for one in steps] == [("loaded", MONDAY - timedelta(minutes=5))]


def test_a_corrected_mass_keeps_its_lot_and_moves_the_book_by_the_difference(store: Store):
    a_lot(store)
    store.append([a_weighing("w", mass=1.174)])
    store.append([corrected("c", "w", 20, facts={"mass_kg": 11.74})])
    assert mass_of(store) == pytest.approx(100 - 11.74)


def test_undoing_a_correction_brings_back_what_was_weighed_first(store: Store):
    a_lot(store)
    store.append([a_weighing("w", mass=10.0), corrected("c", "w", 20, facts={"mass_kg": 11.0})])
    store.append([undone("u", "c", 20.1)])
    assert mass_of(store) == pytest.approx(90.0)


def test_a_weighing_is_put_right_though_its_lot_has_been_held_since(store: Store):
    a_lot(store)
    a_lot(store, "L-2", "quarantine")
    store.append([a_weighing("w", mass=1.174)])
    with store.writing() as db:
        lots.set_status(db, "L-1", "blocked", at=MONDAY, who=["OP4"], why="PVC")
    store.append([corrected("c", "w", 20, facts={"mass_kg": 11.74})])
    assert mass_of(store) == pytest.approx(100 - 11.74)
    with pytest.raises(Refused, match="a held lot is not weighed"):  # but not into another held lot
        store.append([corrected("d", "w", 30, facts={"lot": "L-2"})])
    with pytest.raises(Refused, match="a held lot is not weighed"):  # nor for another sheet
        store.append([corrected("e", "w", 30, sheet="B-99")])


def test_a_measurement_is_found_by_its_sheet_with_its_points(store: Store):
    facts = {"mass_kg": 11.5, "grade": "A", "t1_mm": 12.1, "t9_mm": 11.9}
    store.append([an_event("m", kind="measured", place=None, facts=facts)])
    store.append([corrected("c", "m", 60, facts={"t1_mm": 12.0})])
    with store.reading() as db:
        (one,) = sheets.measurements_of(db, ["B-014", "B-none"])["B-014"]
    assert (one.mass, one.grade, dict(one.points)) == (11.5, "A", {1: 12.0, 9: 11.9})


def test_a_sheet_of_an_order_is_reached_by_a_recall_of_its_lot(store: Store):
    a_lot(store)
    store.append([a_weighing("w", sheet="B-1")], {"B-1": BLUE})
    with store.reading() as db:
        assert trace.forward(db, Thing("lot", "L-1")) == {Thing("sheet", "B-1"), Thing("order", "O-1")}


def test_checks_and_signatures_are_kept_by_who_and_when(store: Store):
    facts = {"list": "closing"}
    store.append([an_event("c", kind="checked", sheet=None, place=None, who=("OP1",), facts=facts)])
    store.append([an_event("h", kind="handed_over", sheet=None, place=None, facts={})])
    with store.reading() as db:
        (check,) = db.execute(select(metadata.tables["safety_check"])).all()
        signed = db.execute(select(metadata.tables["signature"])).all()
    assert (check.list, check.who, check.at) == ("closing", ["OP1"], MONDAY)
    assert {one.person for one in signed} == {"OP1", "OP2"}


def test_sheets_are_listed_by_time_and_by_order(store: Store):
    for n in range(5):
        made_by = {f"B-{n}": BLUE} if n % 2 else {}
        store.append([an_event(f"e{n}", sheet=f"B-{n}", **minutes(60 * n))], made_by)
    with store.reading() as db:
        newest = sheets.sheets_between(db, most=2)
        noon = sheets.sheets_between(db, MONDAY + timedelta(hours=1), MONDAY + timedelta(hours=3))
        of_order = sheets.sheets_between(db, order="O-1")
    assert [one.id for one in newest] == ["B-4", "B-3"]
    assert [one.id for one in noon] == ["B-2", "B-1"]
    assert [one.id for one in of_order] == ["B-3", "B-1"]


acts = st.lists(
    st.tuples(
        st.sampled_from(["corrected", "undone"]),
        st.integers(0, 30),
        st.floats(0.5, 20).map(lambda x: round(x, 3)),
    ),
    max_size=8,
)


@settings(max_examples=25, deadline=None, suppress_health_check=[HealthCheck.function_scoped_fixture])
@given(masses=st.lists(st.floats(0.5, 9).map(lambda x: round(x, 3)), min_size=1, max_size=3), acts=acts)
def test_whatever_is_corrected_and_undone_the_book_is_what_stands(
    store: Store, masses: list[float], acts: list[tuple[str, int, float]]
):
    """The book of a lot is what was there less the weighings that stand, however corrections refer to each other."""
    mark = len(list(store.events()))
    lot = a_lot(store, f"L-{mark}", mass=1000.0)
    events: list[Event] = [a_weighing(f"{mark}-w{n}", lot, mass) for n, mass in enumerate(masses)]
    store.append(events)
    for n, (kind, target, mass) in enumerate(acts):
        of = events[target % len(events)].id
        facts = {"mass_kg": mass} if kind == "corrected" else {}
        events.append(corrected(f"{mark}-a{n}", of, n + 1, kind=kind, facts=facts))
        store.append([events[-1]])
    stand = sum(float(str(one.facts["mass_kg"])) for one in standing(events))
    assert mass_of(store, lot) == pytest.approx(1000.0 - stand, abs=1e-6)


def test_sheets_are_found_by_words_in_small_or_large_letters_and_no_sign_stands_for_another(store: Store):
    store.append([an_event("e1", sheet="B-1"), an_event("e2", sheet="B_2")], {"B-1": BLUE, "B_2": BLUE})
    found = {}
    with store.reading() as db:
        for words in (["b-1"], ["HDPE", "b-"], ["b_"], ["%"], ["hdpe", "green"]):
            found[tuple(words)] = [row.id for row in list_sheets(db, words, first=0, most=9)]
            assert count_sheets(db, words) == len(found[tuple(words)])
    assert found == {
        ("b-1",): ["B-1"], ("HDPE", "b-"): ["B-1"], ("b_",): ["B_2"], ("%",): [], ("hdpe", "green"): []
    }  # fmt: skip
