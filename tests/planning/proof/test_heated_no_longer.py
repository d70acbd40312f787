"""Presses are heated for their moulds and no longer, though no time is left to seek the plan with the least heat."""

from __future__ import annotations

import pytest

from flatstock.planning.solve.search import search
from tests.planning.proof.tiny import person, tiny_kind, tiny_week

PRESSES = ("HP1", "HP2", "HP3")


@pytest.fixture(scope="module")
def found():
    kind = tiny_kind("dark", dwell=5, presses=PRESSES, coolers=("CP1", "CP2"), frames=("F1", "F2"))
    week = tiny_week(
        [(kind, 100), (kind, 200)], end=480, people=[person("A", (0, 480)), person("B", (0, 480))],
        presses=PRESSES, coolers=("CP1", "CP2"), frames=("F1", "F2"), heat_up=7,
    )  # fmt: skip
    return week, search(week, seconds=5, repeatable=True, levels=3, by_rule=False)


def test_no_press_is_heated_without_a_mould(found):
    _, plan = found
    for press, spans in plan.schedule.heated.items():
        loads = [run.load for run in plan.schedule.runs.values() if run.press == press]
        for start, end in spans:
            assert any(start < load < end for load in loads)


def test_a_press_is_hot_from_its_first_mould_to_its_last(found):
    week, plan = found
    for press, spans in plan.schedule.heated.items():
        runs = [run for run in plan.schedule.runs.values() if run.press == press]
        for start, end in spans:
            inside = [run for run in runs if start < run.load < end]
            assert start == min(run.load for run in inside) - 7 - week.times.soak
            assert end == max(run.transfer for run in inside) + week.times.transfer
