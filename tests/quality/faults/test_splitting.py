"""The next test is the one that tells most for its cost."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from flatstock.quality.faults.guide import Fault, guide
from flatstock.quality.faults.ranking import Found, chance_of, shares
from flatstock.quality.faults.splitting import WAIT, entropy, splits
from tests.quality.faults.test_ranking import GLOSSY, ROUGH, cases


def test_entropy_of_a_sure_thing_is_nothing_and_of_eight_equals_three_bits() -> None:
    assert entropy({"a": 1.0, "b": 0.0}) == 0
    assert entropy({str(n): 1 / 8 for n in range(8)}) == pytest.approx(3)


def test_story_12_asks_for_mass_loss_before_any_other_test() -> None:
    tests = [one for one in splits(guide().faults["holes"], ROUGH) if not one.question.look]
    assert tests[0].question.id == "mass_loss"


def test_wet_flake_that_made_rough_bubbles_is_next_repeated_dried() -> None:
    found = [*ROUGH, Found(question="mass_loss", answer="yes")]
    tests = [one for one in splits(guide().faults["holes"], found) if not one.question.look]
    assert tests[0].question.id == "repeat_dried"


def test_glossy_voids_do_not_ask_for_mass_loss() -> None:
    tests = [one.question.id for one in splits(guide().faults["holes"], GLOSSY) if not one.question.look]
    assert tests[0] == "bears"
    assert "mass_loss" not in tests


@given(cases())
def test_what_is_gained_on_average_is_the_fall_of_entropy_and_never_a_loss(
    case: tuple[Fault, list[Found]],
) -> None:
    fault, found = case
    for split in splits(fault, found):
        rest = [one for one in found if one.question != split.question.id]
        now = shares(fault, rest)
        after = {
            a: shares(fault, [*rest, Found(question=split.question.id, answer=a)]) for a in ("yes", "no")
        }
        mean = sum(chance_of(split.question, a, now) * entropy(after[a]) for a in ("yes", "no"))
        assert split.gain == pytest.approx(entropy(now) - mean)
        assert 0 < split.gain <= 1 + 1e-9


@given(cases(), st.data())
def test_the_best_question_may_change_what_is_first_and_gains_most_for_each_minute(
    case: tuple[Fault, list[Found]], data: st.DataObject
) -> None:
    listed = splits(*case)
    worth = [(one.decides, one.gain / one.minutes) for one in listed]
    assert worth == sorted(worth, reverse=True)
    for one in listed:
        assert one.minutes == max(one.question.hands + WAIT * one.question.wait, 1.0)


def test_not_tried_comes_last_and_leaves_the_shares_alone() -> None:
    holes = guide().faults["holes"]
    listed = splits(holes, ROUGH, passed=["mass_loss"])
    assert listed[-1].question.id == "mass_loss"
    assert {one.question.id: one.gain for one in listed} == {
        one.question.id: one.gain for one in splits(holes, ROUGH)
    }


def test_what_was_tried_is_not_asked_again_but_what_was_only_read_is() -> None:
    holes = guide().faults["holes"]
    read = Found(question="mass_loss", answer="yes", weight=0.5)
    assert "mass_loss" in [one.question.id for one in splits(holes, [*ROUGH, read])]
    tried = Found(question="mass_loss", answer="yes")
    assert "mass_loss" not in [one.question.id for one in splits(holes, [*ROUGH, tried])]
