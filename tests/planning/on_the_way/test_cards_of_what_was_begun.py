"""Moulds that were begun as the shop was then: their cards, where it can't press such a sheet any more."""

from flatstock.actions.plans import Physics
from flatstock.errors import Fault, Refused
from flatstock.workshop.files import read


def test_a_card_of_a_sheet_that_can_be_pressed_no_more_is_asked_for_once(shop, monkeypatch):
    """Its lot is held since; the heat model wants the card for each of its moulds, round after round."""
    files = read(shop)
    before = Physics(files)
    now, asked = Physics(files, then=before), []

    def refused(order, press):
        asked.append(press)
        raise Refused(Fault("lots.csv", "its lot is held", "release it"))

    monkeypatch.setattr(now, "recipe", refused)
    monkeypatch.setattr(before, "card", lambda order, press: "as it was")
    order = next(iter(files.orders.values()))
    assert [now.card(order, "HP1") for _ in range(3)] == ["as it was"] * 3
    assert asked == ["HP1"]
