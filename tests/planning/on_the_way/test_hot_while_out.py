"""A press that is out of order and that the plan has heated all the same: people are told before they work at it."""

from __future__ import annotations

import json
from dataclasses import replace
from datetime import timedelta

import pytest

from flatstock.actions.plans import Physics
from flatstock.actions.under_way import week_now
from flatstock.planning.hot_while_out import hot_while_out
from flatstock.planning.problem.clock import Span
from flatstock.workshop.files import read
from flatstock.workshop.today import Today


@pytest.fixture
def before(planned):
    return json.loads((planned / "plan.json").read_text("utf-8"))


def said(shop, before, now, out):
    files = read(shop)
    week = week_now(Physics(files, then=Physics(files)), before, Today(), now, roughly=True)
    spans = tuple(Span(week.clock.minute(start), week.clock.minute(end)) for start, end in out)
    sites = {**week.sites, "HP1": replace(week.sites["HP1"], absent=spans)}
    return list(hot_while_out(before, replace(week, sites=sites)))


def test_heaters_left_on_in_a_press_that_is_out_of_order_are_told_with_what_to_do(planned, before, now):
    (words,) = said(planned, before, now, [(now, now + timedelta(minutes=20))])
    assert f"from {now:%a %H:%M} to {now + timedelta(minutes=20):%a %H:%M}" in words
    assert "heaters off at the isolator" in words
    assert 'cold = ["HP1"]' in words


def test_a_press_that_is_out_of_order_while_it_is_cold_is_not_told(planned, before, now):
    night = now.replace(hour=23, minute=0)
    assert said(planned, before, now, [(night, night + timedelta(hours=2))]) == []


def test_what_was_before_now_is_not_told(planned, before, now):
    assert said(planned, before, now, [(now - timedelta(hours=1), now)]) == []
