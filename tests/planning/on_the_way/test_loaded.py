"""Elements fail while a mould is in the press: it had full heat before, so its dwell must suit both."""

from __future__ import annotations

import json
from datetime import timedelta

import pytest

from flatstock.actions.plans import Physics
from flatstock.actions.under_way import as_changed, week_now
from flatstock.workshop.files import read
from flatstock.workshop.today import Outage, Today, read_today


@pytest.fixture
def in_press(shop, now):
    """Its figures in the plan, and the sheet as a re-plan sees it with a third of the elements gone since `since`."""
    before = json.loads((shop / "plan.json").read_text("utf-8"))
    figures = {one["id"]: one for one in before["sheets"]}
    done = read_today(read(shop), sheets=set(figures), now=now).done

    def seen(since):
        today = Today(
            done=done, outages=(Outage(place="HP1", start=since, end=None, why="", elements=4, of=12),)
        )
        files = read(shop)
        physics = Physics(as_changed(files, today), then=Physics(files))
        week = week_now(physics, before, today, now, roughly=True)
        sheet = next(s for s in week.sheets if s.work("load") is not None and s.work("transfer") is None)
        return sheet.kind.dwell["HP1"], figures[sheet.id]

    return seen


def test_a_mould_loaded_before_elements_failed_leaves_no_later_than_with_all_of_them(in_press):
    dwell, figures = in_press(None)
    assert dwell.latest == figures["dwell_latest_min"]


def test_it_stays_as_long_as_the_weaker_press_takes_where_its_face_bears_that(in_press):
    dwell, figures = in_press(None)
    assert figures["dwell_min"] < dwell.least <= dwell.planned <= dwell.latest


def test_a_mould_loaded_after_they_failed_has_the_dwell_of_the_weaker_press(in_press, now):
    weaker, figures = in_press(now - timedelta(hours=5))
    assert weaker.latest > figures["dwell_latest_min"]
