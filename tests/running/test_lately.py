"""A long past changes nothing on the board: what is settled is left out, and what stands is as it was."""

from __future__ import annotations

from dataclasses import replace
from datetime import timedelta

import pytest

from flatstock.running.event import Event
from flatstock.running.lately import lately
from tests.records.some import MONDAY, an_event


def way(
    sheet: str, days_ago: float, kinds: tuple[str, ...] = ("weighed", "loaded", "trimmed")
) -> list[Event]:
    at = MONDAY - timedelta(days=days_ago)
    return [
        an_event(f"{sheet}-{kind}", kind=kind, sheet=sheet, place=None, at=at, noted_at=at, facts={})
        for kind in kinds
    ]


def ids(events: tuple[Event, ...]) -> set[str]:
    return {one.id for one in events}


def test_a_sheet_that_was_trimmed_the_day_before_yesterday_is_settled():
    found = lately([*way("A", 2), *way("B", 0.5)], MONDAY)
    assert found.settled == {"A"}
    assert ids(found.events) == {"B-weighed", "B-loaded", "B-trimmed"}


def test_a_mould_that_stands_somewhere_is_never_settled():
    found = lately(way("A", 12, ("weighed", "loaded")), MONDAY)
    assert found.settled == set()
    assert len(found.events) == 2


def test_a_mould_that_was_given_up_in_a_stack_is_settled_once_it_is_taken_out():
    given_up = ("loaded", "transferred", "scrapped")
    assert lately(way("A", 2, given_up), MONDAY).settled == set()
    assert lately(way("A", 2, (*given_up, "demoulded")), MONDAY).settled == {"A"}


def test_what_went_through_a_press_before_a_mould_that_still_stands_in_it_is_kept_with_it():
    """It found the plates warm, and a night later it still is the third of its row."""

    def pressed(sheet: str, hours_ago: float, *, out: bool, place: str = "CP1") -> list[Event]:
        at = MONDAY - timedelta(hours=hours_ago)
        kinds = ("transferred", "trimmed") if out else ("transferred",)
        return [
            an_event(f"{sheet}-{kind}", kind=kind, sheet=sheet, place=place, at=at, noted_at=at, facts={})
            for kind in kinds
        ]

    row = [*pressed("A", 42, out=True), *pressed("B", 41, out=True), *pressed("C", 40, out=False)]
    others = [
        *pressed("D", 41, out=True, place="CP2"),
        *pressed("E", 70, out=True),
        *pressed("F", 39, out=True),
    ]
    found = lately([*row, *others], MONDAY)
    assert found.settled == {"D", "E", "F"}
    assert {"A-transferred", "B-transferred"} <= ids(found.events)


@pytest.mark.parametrize("kind", ["undone", "corrected"])
def test_a_trimming_that_was_put_right_leaves_the_sheet_open(kind: str):
    put_right = an_event("c", kind=kind, sheet=None, place=None, facts={}, corrects="A-trimmed", why="x")
    assert lately([*way("A", 5), replace(put_right, at=MONDAY, noted_at=MONDAY)], MONDAY).settled == set()


def test_a_correction_goes_with_the_sheet_whose_event_it_corrects():
    at = MONDAY - timedelta(days=5)
    fixed = an_event(
        "c",
        kind="corrected",
        sheet=None,
        place=None,
        facts={},
        corrects="A-loaded",
        why="x",
        at=at,
        noted_at=at,
    )
    assert lately([*way("A", 5), fixed], MONDAY).events == ()


def test_a_sheet_that_is_asked_about_is_whole():
    assert len(lately(way("A", 5), MONDAY, wanted=["A"]).events) == 3


def test_a_settled_sheet_is_not_to_be_pressed_again_by_the_plan():
    plan = {"sheets": [{"id": "A"}, {"id": "B"}], "tasks": [{"sheet": "A"}, {"sheet": "B"}], "made_at": "x"}
    assert lately(way("A", 5), MONDAY).plan(plan) == {
        "sheets": [{"id": "B"}], "tasks": [{"sheet": "B"}], "made_at": "x",
    }  # fmt: skip


def test_dangers_heat_and_notes_stay_and_who_came_last_week_does_not():
    at = MONDAY - timedelta(days=6)
    kinds = ("smoke", "heating_on", "note", "arrived", "checked")
    past = [an_event(kind, kind=kind, sheet=None, facts={}, at=at, noted_at=at) for kind in kinds]
    assert ids(lately(past, MONDAY).events) == {"smoke", "heating_on", "note"}
