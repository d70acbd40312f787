"""Causes ranked by odds and likelihoods: laws that hold for every fault, and the stories' own cases."""

from __future__ import annotations

import random
from dataclasses import replace
from itertools import product

import pytest
from hypothesis import given
from hypothesis import strategies as st

from flatstock.errors import OutOfRange
from flatstock.quality.faults.guide import OTHER, Fault, guide
from flatstock.quality.faults.ranking import CLEAN, Found, Proof, rank, settled, shares

FAULTS = sorted(guide().faults)
ROUGH = (Found(question="wall_rough", answer="yes"), Found(question="many", answer="yes"))
GLOSSY = (
    Found(question="wall_rough", answer="no"),
    Found(question="many", answer="no"),
    Found(question="mid_plane", answer="yes"),
)


def order(fault: Fault, *found: Found) -> list[str]:
    return [one.cause for one in rank(fault, found)]


def holes() -> Fault:
    return guide().faults["holes"]


@st.composite
def cases(draw: st.DrawFn) -> tuple[Fault, list[Found]]:
    """A fault and answers to some of its questions."""
    fault = guide().faults[draw(st.sampled_from(FAULTS))]
    asked = draw(st.lists(st.sampled_from(fault.questions), unique_by=lambda one: one.id))
    found = [
        Found(
            question=one.id,
            answer=draw(st.sampled_from(("yes", "no"))),
            weight=draw(st.floats(0, 1)),
        )
        for one in asked
    ]
    return fault, found


def test_with_nothing_found_the_order_is_the_trades() -> None:
    for fault in guide().faults.values():
        listed = [one.cause for one in rank(fault, ())]
        assert listed == sorted(fault.odds, key=lambda cause: -fault.odds[cause])


def test_bayes_rule_by_hand() -> None:
    """Odds 5, 3 and 1; ethanol mends it: 0.95, 0.05 and 0.5. 4.75, 0.15, 0.5 of 5.4."""
    fault = guide().faults["fish_eyes"]
    share = shares(fault, [Found(question="water_break", answer="yes")])
    assert share["silicone"] == pytest.approx(4.75 / 5.4)
    assert share["face_takes_none"] == pytest.approx(0.15 / 5.4)
    assert share[OTHER] == pytest.approx(0.5 / 5.4)


@given(cases())
def test_shares_add_up_to_one(case: tuple[Fault, list[Found]]) -> None:
    assert sum(shares(*case).values()) == pytest.approx(1.0)


@given(cases(), st.randoms())
def test_the_order_in_which_answers_come_changes_nothing(
    case: tuple[Fault, list[Found]], chance: random.Random
) -> None:
    fault, found = case
    shuffled = found.copy()
    chance.shuffle(shuffled)
    assert shares(fault, shuffled) == shares(fault, found)


@given(cases(), st.data())
def test_an_answer_that_no_cause_makes_likelier_never_lowers_that_cause(
    case: tuple[Fault, list[Found]], data: st.DataObject
) -> None:
    fault, found = case
    question = data.draw(st.sampled_from(fault.questions))
    answer = data.draw(st.sampled_from(("yes", "no")))
    rest = [one for one in found if one.question != question.id]
    before, after = shares(fault, rest), shares(fault, [*rest, Found(question=question.id, answer=answer)])
    most = max(question.chance(answer, cause) for cause in fault.odds)
    least = min(question.chance(answer, cause) for cause in fault.odds)
    for cause in fault.odds:
        if question.chance(answer, cause) == most:
            assert after[cause] >= before[cause] - 1e-12
        if question.chance(answer, cause) == least:
            assert after[cause] <= before[cause] + 1e-12


@given(cases(), st.data())
def test_of_two_causes_an_answer_never_helps_the_one_it_is_less_likely_with(
    case: tuple[Fault, list[Found]], data: st.DataObject
) -> None:
    fault, found = case
    question = data.draw(st.sampled_from(fault.questions))
    one, other = data.draw(st.lists(st.sampled_from(sorted(fault.odds)), min_size=2, max_size=2, unique=True))
    rest = [f for f in found if f.question != question.id]
    before, after = shares(fault, rest), shares(fault, [*rest, Found(question=question.id, answer="yes")])
    if question.chance("yes", one) >= question.chance("yes", other):
        assert after[one] * before[other] >= after[other] * before[one] * (1 - 1e-9)


@given(cases(), st.floats(0, 1), st.floats(0, 1))
def test_what_counts_for_more_moves_more(case: tuple[Fault, list[Found]], one: float, other: float) -> None:
    """The likeliest cause of a single answer grows with the answer's weight."""
    fault, found = case
    if not found:
        return
    light, heavy = sorted((one, other))
    first = found[0]
    question = next(q for q in fault.questions if q.id == first.question)
    best = max(fault.odds, key=lambda cause: question.chance(first.answer, cause))
    with_ = [
        shares(fault, [Found(question=first.question, answer=first.answer, weight=w)]) for w in (light, heavy)
    ]
    assert with_[1][best] >= with_[0][best] - 1e-12


@pytest.mark.parametrize("name", FAULTS)
def test_every_cause_of_a_fault_can_come_first(name: str) -> None:
    """A cause that no answers bring to the top would be a poster's."""
    fault = guide().faults[name]
    for cause in fault.odds:
        if cause == OTHER:
            continue
        telling = sorted(fault.questions, key=lambda q: -abs(q.chance("yes", cause) - 0.5))[:10]
        tops = (
            order(fault, *(Found(question=q.id, answer=a) for q, a in zip(telling, answers, strict=True)))[0]
            for answers in product(("yes", "no"), repeat=len(telling))
        )
        assert cause in tops, cause


@pytest.mark.parametrize("name", FAULTS)
def test_contradicting_answers_change_which_cause_is_first(name: str) -> None:
    """Whatever stands first is moved by what is least likely with it."""
    fault = guide().faults[name]
    first = order(fault)[0]
    against = [
        Found(question=q.id, answer="yes" if q.chance("yes", first) < 0.5 else "no")
        for q in fault.questions
        if q.chance("yes", first) != 0.5
    ]
    assert order(fault, *against)[0] != first


def test_many_rough_holes_put_moisture_first_and_shrink_voids_below_it() -> None:
    """Story 12."""
    found = order(holes(), *ROUGH)
    assert found[0] == "moisture"
    assert found.index("moisture") < found.index("no_following")
    assert found.index("moisture") < found.index("frame_carries")


def test_a_clean_sheet_after_drying_settles_on_moisture() -> None:
    ranked = rank(
        holes(),
        [*ROUGH, Found(question="mass_loss", answer="yes"), Found(question="repeat_dried", answer="yes")],
    )
    assert ranked[0].cause == "moisture"
    assert settled(ranked)


def test_single_glossy_voids_in_the_middle_plane_flip_the_order() -> None:
    """Story 12, even where the flake is wet."""
    for found in (GLOSSY, (*GLOSSY, Found(question="mass_loss", answer="yes"))):
        listed = order(holes(), *found)
        assert listed[0] in ("no_following", "frame_carries")
        assert listed.index("moisture") > listed.index("frame_carries")


def test_three_wedges_alike_say_platens_and_three_apart_say_spreading() -> None:
    """Story 8."""
    wedge = guide().faults["wedge"]
    assert order(wedge, Found(question="three_agree", answer="yes"))[0] == "not_parallel"
    assert order(wedge, Found(question="three_agree", answer="no"))[0] == "spreading"


def test_a_test_stands_in_the_place_of_what_the_records_say() -> None:
    read = Found(question="mass_loss", answer="yes", weight=0.5)
    tried = Found(question="mass_loss", answer="no")
    assert shares(holes(), [tried, read]) == shares(holes(), [read, tried]) == shares(holes(), [tried])


def test_a_sheet_that_is_not_clean_after_the_remedy_lowers_its_cause() -> None:
    before = shares(holes(), ROUGH)
    after = shares(holes(), ROUGH, [Proof(cause="moisture", clean=False)])
    assert after["moisture"] < before["moisture"]
    clean = shares(holes(), ROUGH, [Proof(cause="moisture", clean=True)])
    assert clean["moisture"] / clean["trapped_air"] == pytest.approx(
        before["moisture"] / before["trapped_air"] * CLEAN[0] / CLEAN[1]
    )


def test_each_factor_is_shown_and_their_product_is_the_share() -> None:
    ranked = rank(holes(), ROUGH)
    for one in ranked:
        product_ = one.odds
        for factor in one.factors:
            product_ *= factor.likelihood**factor.weight
        whole = sum(r.odds * r.factors[0].likelihood * r.factors[1].likelihood for r in ranked)
        assert one.share == pytest.approx(product_ / whole)
        assert len(one.factors) == 2


def test_a_weight_over_one_is_refused() -> None:
    with pytest.raises(OutOfRange, match=r"weight of many is 2"):
        rank(holes(), [Found(question="many", answer="yes", weight=2)])


@pytest.mark.parametrize("clean", [True, False])
def test_with_a_sheet_after_a_remedy_alone_each_share_changes_by_the_factor_shown(clean: bool) -> None:
    """Bayes' rule: the share after is the share before times P(found | cause) over its average."""
    before = shares(holes(), [])
    for one in rank(holes(), [], [Proof(cause="moisture", clean=clean)]):
        (factor,) = one.factors
        assert one.share == pytest.approx(before[one.cause] * factor.times)


def test_a_cause_stands_out_from_three_quarters_on() -> None:
    """docs/faults.md, "How the order is made": 75 of 100."""
    first = rank(holes(), ROUGH)[0]
    assert settled((replace(first, share=0.75),))
    assert not settled((replace(first, share=0.749),))
