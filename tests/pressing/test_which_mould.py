"""Which frame and skins a card takes where several would do."""

from dataclasses import replace

import pytest

from flatstock.evidence import Value
from flatstock.pressing.fitting import frame_for, skins_for


def with_frames(shop, *sizes):
    """The demo with 12 mm frames of these cavities [mm] alone, in this order."""
    like = shop.frames["F12-1"]
    frames = {
        f"F-{long}": replace(like, id=f"F-{long}", cavity_length=long / 1e3, cavity_width=wide / 1e3)
        for long, wide in sizes
    }
    return replace(shop, frames=frames)


def taken(shop, *, low=0.02, high=0.02):
    said, shrinkage = [], Value(0.02, low, high, "measured", "a test")
    return frame_for(shop, shop.hot_presses["HP1"], 0.012, None, said, shrinkage=shrinkage).id, said


@pytest.mark.parametrize("sizes", [[(1270, 850), (1250, 840)], [(1250, 840), (1270, 850)]])
def test_of_frames_that_fit_alike_the_one_that_wastes_least_of_the_size_sold_is_taken(shop, sizes):
    """The demo sells 1200 x 800 mm and cuts 10 mm off each edge: 1250 x 840 mm shrunk by 2 % is 1225 x 823 mm."""
    name, said = taken(with_frames(shop, *sizes))
    assert name == "F-1250"
    assert said[0].startswith("Frame F-1250 is taken, not F-1270: ")
    assert "1200 x 800 mm" in said[0]


def test_a_frame_whose_cold_sheet_is_too_small_to_sell_comes_after_one_that_is_large_enough(shop):
    """1210 mm shrunk by 2 % is 1186 mm."""
    assert taken(with_frames(shop, (1210, 820), (1260, 850)))[0] == "F-1260"


def test_a_frame_that_gives_the_size_sold_only_without_its_trim_or_only_if_it_shrinks_little_comes_after(
    shop,
):
    """1230 mm shrunk by 2 % is 1205 mm, 15 mm short of both trims; 1250 mm by 2.5 % is 1219 mm, 1 mm short."""
    assert taken(with_frames(shop, (1230, 820), (1270, 850)))[0] == "F-1270"
    assert taken(with_frames(shop, (1250, 840), (1270, 850)), high=0.025)[0] == "F-1270"


def test_frames_of_one_size_are_taken_in_the_order_of_the_file_and_nothing_is_said(shop):
    assert taken(shop) == ("F12-1", [])


def test_skins_that_lie_on_the_platens_go_before_larger_ones(shop):
    like = shop.skins["S01-02"]
    large = replace(like, id="S-large", length=1.6)
    other = replace(shop, skins={"S-large": large, "S01-02": like})
    said = []
    assert skins_for(other, shop.hot_presses["HP1"], shop.frames["F12-1"], said).id == "S01-02"
    assert said == []


def test_skins_that_reach_beyond_the_platens_are_told(shop):
    large = replace(shop.skins["S01-02"], length=1.6)
    other = replace(shop, skins={large.id: large})
    said = []
    skins_for(other, shop.hot_presses["HP1"], shop.frames["F12-1"], said)
    assert "reach beyond the platens of HP1" in said[0]
