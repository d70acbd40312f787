"""Durations that physics gives in seconds, as a plan counts them."""

from dataclasses import replace

import pytest

from flatstock.actions.plans import Physics
from flatstock.actions.workshops import open_workshop
from flatstock.demo import copy_to
from flatstock.planning.problem.kinds import kinds_of

HEAD = "id,what,plastic,colour,thickness_mm,sheets,due,condition_h,lots,note\n"


class Hotter(Physics):
    """The same physics, the latest dwell of every sheet so many seconds after the advised one."""

    def __init__(self, shop, *, advised, spare):
        super().__init__(shop)
        self.figures = {"advised": advised, "latest": advised + spare}

    def recipe(self, order, press):
        return replace(super().recipe(order, press), **self.figures)


@pytest.fixture(scope="module")
def shop(tmp_path_factory):
    folder = tmp_path_factory.mktemp("plan") / "shop"
    copy_to(folder)
    (folder / "orders.csv").write_text(
        HEAD + "A,panel,hdpe,dark,12,1,2026-03-06T15:00,0,L-2301 100 %,\n", "utf-8"
    )
    return open_workshop(folder)


def test_the_latest_dwell_is_never_later_than_physics_has_it(shop):
    kinds, _, _ = kinds_of(shop, Hotter(shop, advised=27 * 60 + 30, spare=59))
    (dwell,) = kinds["A"].dwell.values()
    assert (dwell.planned, dwell.latest) == (28, 28)


def test_an_order_without_a_whole_minute_between_advised_and_latest_is_left_out_with_the_reason(shop):
    kinds, unplaced, _ = kinds_of(shop, Hotter(shop, advised=27 * 60 + 20, spare=20))
    assert kinds == {}
    assert "enough after 27.7 min" in unplaced["A"][0]


def test_what_a_setting_takes_is_what_the_platens_and_the_shop_ask(shop):
    takes = Physics(shop).takes
    assert takes("HP1", "heat_up", 18, 195) == pytest.approx(39.5, abs=0.1)
    assert takes("HP1", "lower", 210, 190) == pytest.approx(34.6, abs=0.3)
    assert takes("HP1", "soak", 195, 195) == 15
    assert takes("HP1", "clean", 195, 195) == 0
