"""A small hot press and cooling press beside large ones: a sheet is of one size, and only what carries its frame takes it."""

from __future__ import annotations

import re

import pytest

from flatstock.actions.plans import Physics
from flatstock.actions.workshops import open_workshop
from flatstock.demo import copy_to
from flatstock.planning.problem.kinds import kinds_of

ORDERS = """id,what,plastic,colour,thickness_mm,sheets,due,condition_h,lots,note
A,panel,pp,green,6,2,2026-03-06T15:00,0,L-2304 100 %,
"""
SMALL = {
    "platen_length_mm = 1350": "platen_length_mm = 1000",
    "platen_width_mm = 950": "platen_width_mm = 720",
}
FRAMES = """
[[frames]]
ids = ["G06-1", "G06-2"]
thickness_mm = 6
cavity_length_mm = 900
cavity_width_mm = 620
outside_length_mm = 980
outside_width_mm = 700
metal = "mild_steel"
mass_kg = 6
"""


def table(text, name):
    return re.search(rf"\[\[{name}\]\].*?(?=\n\[)", text, re.DOTALL).group(0)


def smaller(one, old, new):
    for large, small in {**SMALL, f'"{old}"': f'"{new}"'}.items():
        assert large in one
        one = one.replace(large, small)
    return one


@pytest.fixture
def shop_with(tmp_path):
    def made(change):
        copy_to(tmp_path / "shop")
        file = tmp_path / "shop" / "shop.toml"
        file.write_text(change(file.read_text("utf-8")), "utf-8")
        (tmp_path / "shop" / "orders.csv").write_text(ORDERS, "utf-8")
        return open_workshop(tmp_path / "shop")

    return made


def test_an_orders_sheets_are_pressed_and_cooled_only_where_their_own_frame_fits(shop_with):
    def beside(text):
        hot, cold = table(text, "hot_presses"), table(text, "cooling_presses")
        text = text.replace(hot, f"{hot}\n\n{smaller(hot, 'HP1', 'HP2')}")
        return text.replace(cold, f"{cold}\n\n{smaller(cold, 'CP1', 'CP2')}").replace(
            "[[skins]]", f"{FRAMES}\n[[skins]]", 1
        )

    shop = shop_with(beside)
    kinds, unplaced, said = kinds_of(shop, Physics(shop))
    assert unplaced == {}
    kind = kinds["A"]
    assert kind.frames == ("F06-1", "F06-2")
    assert set(kind.dwell) == {"HP1"}
    assert set(kind.press_cool) == set(kind.cool_to_end) == {"CP1"}
    assert any("pressed in HP1, not in HP2: that takes frame G06-1" in words for words in said)


def test_where_no_cooling_press_carries_the_frame_the_order_is_left_out_with_the_reason(shop_with):
    def instead(text):
        cold = table(text, "cooling_presses")
        return text.replace(cold, smaller(cold, "CP1", "CP1"))

    shop = shop_with(instead)
    kinds, unplaced, _ = kinds_of(shop, Physics(shop))
    assert kinds == {}
    assert "frame F06-1 (1330 x 920 mm outside) is larger than the plates of CP1" in unplaced["A"][0]
