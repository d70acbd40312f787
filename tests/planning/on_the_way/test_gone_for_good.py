"""Something is out of order to the end of the plan: the rest of the week is planned without it, and it is said."""

from __future__ import annotations

from datetime import datetime
from itertools import pairwise

import pytest

from flatstock.actions.replans import plan_from_now
from flatstock.planning.check import judge
from flatstock.workshop.files import read


def at(text):
    return datetime.fromisoformat(text)


def without(folder, place, now):
    (folder / "changes.toml").write_text(f'[[out_of_order]]\nplace = "{place}"\n', "utf-8")
    return plan_from_now(read(folder), now=now, seconds=2)


def later(document, step, now):
    return [one for one in document["tasks"] if one["step"] == step and at(one["start"]) >= now]


def test_without_its_saw_sheets_are_pressed_and_taken_out_and_the_plan_says_that_none_is_sawn(shop, now):
    document = without(shop, "SAW1", now)
    assert judge(document) == []
    assert len(document["sheets"]) == 8
    assert later(document, "trim", now) == []
    assert any("SAW1 is out of order to its end" in words for words in document["warnings"])


def test_without_its_lift_two_people_move_a_mould_and_lay_none_onto_another(shop, now):
    document = without(shop, "LT1", now)
    assert judge(document) == []
    assert len(document["sheets"]) == 8
    hands = [*later(document, "move", now), *later(document, "demould", now)]
    assert hands
    assert all(len(one["people"]) == 2 and "LT1" not in one["places"] for one in hands)
    stays = sorted((at(t["start"]), at(t["end"])) for t in later(document, "stack", now))
    assert all(before[1] <= after[0] for before, after in pairwise(stays))
    assert any("none is laid onto another" in words for words in document["warnings"])


@pytest.mark.parametrize("place", ["BENCH", "CP1", "HP1"])
def test_what_is_in_a_press_is_brought_to_its_end_and_what_has_not_begun_is_left_out(shop, now, place):
    document = without(shop, place, now)
    assert judge(document) == []
    assert later(document, "prepare", now) == []
    assert document["left_out"]
