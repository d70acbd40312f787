"""The demo workshop with the plan of `morning`, by the plan's clocks."""

from __future__ import annotations

from datetime import UTC

import pytest

from flatstock import demo
from flatstock.actions.board import lot_faults
from flatstock.running.courses import PlanClocks
from flatstock.running.floor import floor_of
from flatstock.running.situation import situation
from flatstock.running.taps import judge
from flatstock.workshop.files import read
from tests.running.morning import a_plan, at


@pytest.fixture(scope="session")
def shop(tmp_path_factory):
    folder = tmp_path_factory.mktemp("shops") / "demo"
    demo.copy_to(folder)
    return read(folder)


@pytest.fixture(scope="session")
def how_it_stands(shop):
    """The situation after some events, by the plan's clocks."""

    def known(events, clock, *, received=None, plan=None, of=shop, silences=()):
        return situation(
            events, plan=plan or a_plan(), shop=of, zone=UTC, clocks=PlanClocks(), lot_faults=lot_faults,
            now=at(clock), received=at(received) if received else None, silences=silences,
        )  # fmt: skip

    return known


@pytest.fixture(scope="session")
def the_floor(how_it_stands):
    return lambda events, clock, **more: floor_of(how_it_stands(events, clock, **more))


@pytest.fixture(scope="session")
def tap(how_it_stands):
    """Judge one event after others, at the instant it happened; `received`: when it came in."""

    def answer(event, before=(), *, received=None, of=None):
        clock = f"{event.at:%H:%M:%S}"
        more = {} if of is None else {"of": of}
        return judge(event, how_it_stands(before, clock, received=received, **more))

    return answer
