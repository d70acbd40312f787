"""A lot that is dried before use is asked about at the scale."""

from dataclasses import replace

import pytest

from tests.running.morning import an_event


@pytest.fixture
def wet(shop):
    return replace(shop, lots=shop.lots | {"L-2301": replace(shop.lots["L-2301"], dry_first=True)})


def weighed(**facts):
    return an_event(
        "weighed", "08:20", sheet="S-1", who=("OP2",), facts={"lot": "L-2301", "mass_kg": 11.74, **facts}
    )


def test_it_is_not_weighed_without_saying_that_it_is_dry(tap, wet):
    answer = tap(weighed(), [], of=wet)
    assert answer.outcome == "refused"
    assert "to be dried before it is weighed" in answer.faults[0].sentence()


def test_said_to_be_dry_it_is_weighed(tap, wet):
    assert tap(weighed(dried=True), [], of=wet).outcome == "accepted"


def test_any_other_lot_is_not_asked_about(tap):
    assert tap(weighed(), []).outcome == "accepted"
