"""A mould left in a hot press without heat is cold when platens and mould as one lump would be, or thereabouts."""

from __future__ import annotations

import pytest

from flatstock.pressing.card import work_out
from flatstock.pressing.left_in_press import cold_after
from flatstock.pressing.platens import time_between
from flatstock.pressing.questions import CardQuestion
from flatstock.workshop.files import read
from tests.planning.on_the_way.new_plan import lay_out


@pytest.fixture(scope="module")
def card(tmp_path_factory):
    folder = tmp_path_factory.mktemp("left") / "shop"
    lay_out(folder)
    return work_out(read(folder), CardQuestion(plastic="hdpe", thickness=0.012))


def test_it_takes_longer_than_empty_platens_and_less_than_if_the_mould_were_as_heavy_as_they(card):
    """Newton's law of cooling of one lump (Incropera & DeWitt ch. 5, from memory) from set-point to release limit."""
    shop = card.setting.shop
    limit = card.setting.process.demould_below.value
    empty = time_between(card.setting.press, card.setting.set_point.value, limit, room=shop.room.value)
    found = cold_after(card, card.advised[0])
    assert found is not None
    assert empty < found < 2 * empty


def test_a_charge_that_has_barely_been_heated_is_cold_sooner(card):
    assert cold_after(card, 0.0) < cold_after(card, card.advised[0])
