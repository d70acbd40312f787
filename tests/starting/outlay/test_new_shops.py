"""What `flatstock new` writes about supply and purchases can be asked at once."""

import pytest

from flatstock.actions.outlays import plan_outlay
from flatstock.actions.supplies import look_at_supply
from flatstock.actions.workshops import open_workshop, read_workshop
from flatstock.errors import Refused
from flatstock.starting.outlay.measured import measurable
from flatstock.starting.outlay.read import read_outlay
from flatstock.starting.outlay.shop_with import shop_with
from flatstock.workshop.start import StartAnswers, write_new

SHOPS = [
    StartAnswers(),
    StartAnswers(phases="1", volts=230.0, rated_current=32.0),
    StartAnswers(phases="1", volts=240.0, rated_current=100.0, units="us"),
    StartAnswers(phases="3", volts=208.0, units="us", power=18_000.0, platen_length=1.35, platen_width=0.95,
                 cavity_length=1.25, cavity_width=0.84),
    StartAnswers(phases="3", power=45_000.0, platen_length=2.6, platen_width=1.4, cavity_length=2.5, cavity_width=1.25),
]  # fmt: skip


@pytest.mark.parametrize("answers", SHOPS, ids=["usual", "one phase", "two legs", "208 V", "large"])
def test_a_new_shop_has_a_supply_and_purchases_that_answer(tmp_path, answers):
    write_new(tmp_path / "shop", answers)
    supply = look_at_supply(tmp_path / "shop").document
    assert supply["supply"]["rated_A"] == answers.rated_current
    assert len(supply["loads"]) == 6
    outlay = plan_outlay(tmp_path / "shop", runs=50).document
    assert outlay["refused"] is None
    assert outlay["first_sale_month"] == 3


def test_the_heaters_of_a_new_shop_are_those_it_was_asked_about(tmp_path):
    write_new(tmp_path / "shop", StartAnswers(power=9000.0))
    loads = {one["id"]: one for one in look_at_supply(tmp_path / "shop").document["loads"]}
    assert loads["HEAT"]["input_kW"] == 9


@pytest.mark.parametrize("fans", [True, False])
def test_what_a_new_shop_buys_later_says_what_it_adds_so_that_weeks_can_be_planned(tmp_path, fans):
    write_new(tmp_path / "shop", StartAnswers(fans=fans))
    shop = open_workshop(tmp_path / "shop")
    question, _ = read_outlay(tmp_path / "shop", shop)
    over, _ = measurable(question)
    assert over == ({"FANS", "MOULDS2"} if fans else {"MOULDS2"})
    more = shop_with(shop, [question.by_id["MOULDS2"]], [])
    assert (len(more.frames), len(more.skins)) == (2 * len(shop.frames), 2 * len(shop.skins))


def test_renaming_frames_and_the_cooling_press_leaves_the_purchases_of_a_new_shop_good(tmp_path):
    write_new(tmp_path / "shop", StartAnswers(fans=True))
    file = tmp_path / "shop" / "shop.toml"
    words = file.read_text("utf-8")
    for old, new in (("F1-1", "THIN-A"), ("F2-2", "THICK-B"), ('"S3"', '"UPPER"'), ("CP1", "COLD")):
        assert old in words
        words = words.replace(old, new)
    file.write_text(words, "utf-8")
    assert read_workshop(tmp_path / "shop").document["faults"] == []
    shop = open_workshop(tmp_path / "shop")
    question, _ = read_outlay(tmp_path / "shop", shop)
    assert question.by_id["FANS"].adds == ("COLD.fans",)
    assert question.by_id["MOULDS2"].adds_like == (*shop.frames, *shop.skins)


def test_fans_that_come_with_a_purchase_are_a_fault_where_the_shop_has_none(tmp_path):
    write_new(tmp_path / "shop", StartAnswers(fans=False))
    file = tmp_path / "shop" / "outlay.toml"
    file.write_text(file.read_text("utf-8").replace('adds_like = ["frames",', 'adds = ["fans",'), "utf-8")
    with pytest.raises(Refused, match="shop.toml has no 'fans'"):
        read_outlay(tmp_path / "shop", open_workshop(tmp_path / "shop"))


def test_fans_are_not_one_more_of_anything(tmp_path):
    write_new(tmp_path / "shop", StartAnswers(fans=True))
    file = tmp_path / "shop" / "outlay.toml"
    file.write_text(file.read_text("utf-8").replace('adds = ["fans"]', 'adds_like = ["fans"]'), "utf-8")
    with pytest.raises(Refused, match="'fans' of which there could be more"):
        read_outlay(tmp_path / "shop", open_workshop(tmp_path / "shop"))


def test_a_new_shop_without_its_first_frame_reads_and_says_that_more_of_none_is_none(tmp_path):
    write_new(tmp_path / "shop", StartAnswers(frame_thicknesses=()))
    file = tmp_path / "shop" / "outlay.toml"
    words = file.read_text("utf-8")
    file.write_text(
        words.replace('id = "MOULDS2"', 'id = "MOULDS2"\nadds_like = ["frames", "skins"]'), "utf-8"
    )
    read = read_workshop(tmp_path / "shop").document
    assert read["faults"] == []
    assert [one for one in read["warnings"] if "`flatstock frame` says which frame to have made" in one]
    outlay = plan_outlay(tmp_path / "shop", runs=50).document
    assert outlay["refused"] is None
    said = "shop.toml has no frames yet, so it adds none to a week that is planned with it"
    assert [one for one in outlay["warnings"] if "MOULDS2" in one and said in one]
