"""Answers are kept for as long as what they rest on stays as it is, and no longer."""

from __future__ import annotations

from dataclasses import replace
from datetime import UTC, datetime, timedelta

import pytest

from flatstock.actions.cards import CardQuestion, make_card
from flatstock.actions.choices import card_choices
from flatstock.actions.stacks import MouldWords, StackQuestion
from flatstock.actions.workshops import copy_demo, open_workshop
from flatstock.errors import Refused
from flatstock.web.answers import Answers
from flatstock.workshop.shop import Lot, Workshop

NOW = datetime(2026, 3, 2, 9, 0, tzinfo=UTC)
DARK = CardQuestion(plastic="hdpe", thickness=0.012)


@pytest.fixture(scope="module")
def shop(tmp_path_factory: pytest.TempPathFactory) -> Workshop:
    folder = tmp_path_factory.mktemp("answers") / "shop"
    copy_demo(folder)
    return open_workshop(folder)


def with_lot(shop: Workshop, name: str, **changes: object) -> Workshop:
    changed: Lot = replace(shop.lots[name], **changes)  # type: ignore[arg-type]  # a test names fields as words
    return replace(shop, lots={**shop.lots, name: changed})


def test_a_card_is_kept_while_its_lot_is_drawn_on_and_is_what_would_be_worked_out_afresh(
    shop: Workshop,
) -> None:
    answers = Answers()
    before = answers.card(shop, DARK, NOW)
    drawn = with_lot(shop, "L-2301", mass=shop.lots["L-2301"].mass - 11.74)
    after = answers.card(drawn, DARK, NOW + timedelta(minutes=5))
    assert after is before
    assert after.document == make_card(drawn, replace(DARK, made_at=NOW)).document


def test_a_card_is_refused_when_its_lot_no_longer_holds_enough(shop: Workshop) -> None:
    answers, asked = Answers(), replace(DARK, lots={"L-2301": 1.0})
    answers.card(shop, asked, NOW)
    with pytest.raises(Refused, match="holds 2 kg"):
        answers.card(with_lot(shop, "L-2301", mass=2.0), asked, NOW)
    with pytest.raises(Refused, match="blocked"):
        answers.card(with_lot(shop, "L-2301", status="blocked"), asked, NOW)


def test_a_card_for_which_another_lot_is_now_the_largest_is_another_card(shop: Workshop) -> None:
    answers = Answers()
    (first,) = answers.card(shop, DARK, NOW).document["weigh"]
    (second,) = answers.card(with_lot(shop, first["lot"], mass=0.0), DARK, NOW).document["weigh"]
    assert second["lot"] != first["lot"]


def test_what_is_known_of_a_lot_makes_another_card(shop: Workshop) -> None:
    answers, asked = Answers(), replace(DARK, lots={"L-2301": 1.0})
    answers.card(shop, asked, NOW)
    light = with_lot(shop, "L-2301", bulk_density=210.0)
    found = answers.card(light, asked, NOW).document
    assert found == make_card(light, replace(asked, made_at=NOW)).document


def test_a_stack_is_kept_whatever_is_weighed_and_thrown_away_when_the_shop_changes(
    shop: Workshop, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr("flatstock.web.answers.look_at_stack", lambda *_: object())
    answers = Answers()
    question = StackQuestion(
        moulds=(MouldWords(plastic="hdpe", thickness=0.012, arrives=NOW),), at=NOW.replace(hour=20)
    )
    first = answers.stack(shop, question)
    assert answers.stack(with_lot(shop, "L-2301", mass=1.0), question) is first
    warmer = replace(shop, room=replace(shop.room, value=30.0, low=30.0, high=30.0))
    assert answers.stack(warmer, question) is not first


@pytest.mark.parametrize(
    ("rests_on", "asked_again"),
    [
        ("no lot", []),
        ("lots", ["held", "released", "gone"]),
        ("stock", ["weighed", "held", "released", "gone"]),
    ],
)
def test_an_answer_is_worked_out_again_when_what_it_rests_on_changes(
    shop: Workshop, rests_on: str, asked_again: list[str]
) -> None:
    answers, worked_out = Answers(), list[str]()

    def ask(of: Workshop, when: str) -> None:
        answers.kept(of, "a question", lambda: worked_out.append(when), rests_on=rests_on)  # type: ignore[arg-type]  # only whether it is worked out counts

    ask(shop, "first")
    ask(shop, "again")
    ask(drawn := with_lot(shop, "L-2301", mass=1.0), "weighed")
    ask(held := with_lot(drawn, "L-2301", status="quarantine"), "held")
    ask(replace(held), "the same once more")
    ask(with_lot(held, "L-2301", status="released"), "released")
    ask(replace(drawn, lots={k: v for k, v in drawn.lots.items() if k != "L-2301"}), "gone")
    assert worked_out == ["first", *asked_again]


def test_a_refusal_is_not_kept(shop: Workshop) -> None:
    answers = Answers()

    def refuse() -> None:
        raise ValueError

    for _ in range(2):
        with pytest.raises(ValueError):
            answers.kept(shop, "a question", refuse)
    assert answers.kept(shop, "a question", lambda: 1) == 1


def test_a_lot_that_is_used_up_is_not_among_those_that_a_card_offers(shop: Workshop) -> None:
    def offered(of: Workshop) -> tuple[str, ...]:
        return next(one for one in card_choices(of).plastics if one.id == "hdpe").lots

    assert "L-2301" in offered(shop)
    assert "L-2301" not in offered(with_lot(shop, "L-2301", mass=0.0))
