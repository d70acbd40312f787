"""Plans that look right and are not: the heat model catches them, and the planner's own plan of that week is good."""

from datetime import UTC, datetime

from flatstock.actions.plans import plan_week
from flatstock.actions.workshops import open_workshop
from flatstock.demo import copy_to
from flatstock.planning.check import judge
from flatstock.pressing.card import work_out
from flatstock.pressing.questions import CardQuestion
from flatstock.pressing.rehearsal import Going, rehearse

HEAD = "id,what,plastic,colour,thickness_mm,sheets,due,condition_h,lots,note\n"
MONDAY = datetime(2026, 3, 2, 7, 0, tzinfo=UTC)
MINUTE, HOUR = 60.0, 3600.0


def shop_of(folder, orders, *, still_air=False, without_rack=False):
    copy_to(folder)
    text = (folder / "shop.toml").read_text("utf-8")
    if still_air:
        assert "fans_on = true" in text
        text = text.replace("fans_on = true", "fans_on = false")
    if without_rack:
        before, rack = text.split("[[racks]]")
        text = before + rack[rack.index("\n[") :]
    (folder / "shop.toml").write_text(text, "utf-8")
    (folder / "orders.csv").write_text(HEAD + orders + "\n", "utf-8")
    return open_workshop(folder)


def row(shop, *moulds, every, stay, rest):
    """Dark HDPE moulds one after the other: millimetres, dwell, press-cooling of each; minutes."""
    goings = []
    for n, (thickness, dwell, cool) in enumerate(moulds):
        question = CardQuestion(
            plastic="hdpe", thickness=thickness / 1e3, lots={"L-2301": 1.0}, colour="dark", press="HP1"
        )
        laid = n * every * MINUTE
        clamped = laid + (dwell + 3) * MINUTE
        left = clamped + cool * MINUTE
        goings.append(
            Going(
                sheet=f"{n + 1}", card=work_out(shop, question), press="HP1", cooling="CP1", hot_from=-HOUR, laid=laid,
                lifted=laid + dwell * MINUTE, clamped=clamped, left=left, stay=stay, stayed=left + 3 * MINUTE,
                opened=left + (3 + rest) * MINUTE, ramp=0.0,
            )
        )  # fmt: skip
    return rehearse(shop, goings)


def test_the_third_mould_opened_when_the_first_could_be_is_opened_hot(tmp_path):
    # the worked story of a day's moulds: in still air the third 12 mm mould meets plates that two have warmed
    shop = shop_of(
        tmp_path / "shop", "A,panel,hdpe,dark,12,3,2026-03-02T16:00,0,L-2301 100 %,", still_air=True
    )
    verdicts = row(shop, *[(12, 28, 10)] * 3, every=45, stay="R1", rest=90)
    assert "opened hot" not in verdicts[0].verdict
    assert "opened hot" in verdicts[2].verdict
    assert verdicts[2].core_at_open > verdicts[0].core_at_open + 10
    assert verdicts[2].more_cool > 10 * MINUTE


def test_the_planner_gives_the_third_mould_the_time_that_its_plates_ask(tmp_path):
    shop = shop_of(
        tmp_path / "shop", "A,panel,hdpe,dark,12,3,2026-03-06T15:00,0,L-2301 100 %,", still_air=True
    )
    document = plan_week(shop, now=MONDAY, seconds=8)
    assert judge(document) == []
    assert {one["verdict"] for one in document["rehearsal"]["sheets"]} == {"good"}
    assert all(one["core_at_open_C"] <= 90 for one in document["rehearsal"]["sheets"])


def test_thick_moulds_stacked_fresh_from_the_hot_press_melt_again_what_had_begun_to_set(tmp_path):
    shop = shop_of(tmp_path / "shop", "A,panel,hdpe,dark,18,3,2026-03-06T15:00,0,L-2301 100 %,")
    verdicts = row(shop, *[(18, 42, 1)] * 3, every=48, stay="ST1", rest=900)
    assert all("opened hot" in one.verdict for one in verdicts)
    assert any("melts again" in one.verdict for one in verdicts)


def test_the_planner_stacks_without_melting_anything_again_where_there_is_no_rack(tmp_path):
    orders = "A,panel,hdpe,dark,18,3,2026-03-06T15:00,0,L-2301 100 %,"
    shop = shop_of(tmp_path / "shop", orders, without_rack=True)
    document = plan_week(shop, now=MONDAY, seconds=8)
    assert judge(document) == []
    assert {one["verdict"] for one in document["rehearsal"]["sheets"]} == {"good"}
    assert all(one["peak_after_C"] < 108 for one in document["rehearsal"]["sheets"])  # HDPE begins to melt
