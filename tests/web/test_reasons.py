"""Every number that says why is called by words, not by its field."""

from __future__ import annotations

import pytest

from flatstock.actions.cards import card_of_order, make_card
from flatstock.actions.supplies import look_at_supply
from flatstock.actions.workshops import open_workshop
from flatstock.prints.shown import Shown
from flatstock.web.reasons import reasons_of
from tests.web.conftest import demo_folder


@pytest.fixture(scope="module")
def documents(tmp_path_factory: pytest.TempPathFactory) -> dict[str, dict]:  # type: ignore[type-arg]
    folder = demo_folder(tmp_path_factory.mktemp("reasons") / "shop", plan=False)
    shop = open_workshop(folder)
    return {
        "card": dict(make_card(shop, card_of_order(shop.orders["O-104"])).document),
        "supply": dict(look_at_supply(folder, (shop, [])).document),
    }


@pytest.mark.parametrize("name", ["card", "supply"])
def test_each_reason_has_a_title_in_words(documents: dict[str, dict], name: str) -> None:  # type: ignore[type-arg]
    reasons = reasons_of(documents[name], Shown())
    assert reasons
    assert [one.title for one in reasons if "_" in one.title or one.title == one.of] == []
