"""outlay.toml: everything wrong with it at once, by line and field."""

import pytest

from flatstock.errors import Refused
from flatstock.starting.outlay.read import read_outlay

HEAD = {
    "format": '"flatstock.outlay/1"', "months": "3", "cash_start": "9000", "price_per_sheet": "60",
    "variable_per_sheet": "20", "fixed_per_month": "100", "yield": "0.9", "demand_per_week": "[1, 2, 3]",
    "resources": '["press"]',
}  # fmt: skip
PRESS = {"id": '"PRESS"', "cost": "100", "necessity": '"cannot_press"', "gives": "{ press = 10 }"}


def written(tmp_path, *purchases, more="", **head):
    lines = [f"{key} = {value}" for key, value in (HEAD | head).items() if value is not None]
    for one in purchases or ({},):
        lines.append("[[purchases]]")
        lines += [f"{key} = {value}" for key, value in (PRESS | one).items() if value is not None]
    (tmp_path / "outlay.toml").write_text("\n".join([*lines, more]) + "\n", "utf-8")
    return tmp_path


def faults(folder):
    with pytest.raises(Refused) as refused:
        read_outlay(folder)
    return [one.sentence() for one in refused.value.faults]


def test_the_demos_outlay_is_read(tmp_path):
    from flatstock import demo

    demo.copy_to(tmp_path / "shop")
    question, notes = read_outlay(tmp_path / "shop")
    assert len(question.purchases) == 11
    assert question.demand[3] == 10
    assert question.by_id["FANS"].needs == ("COOLER",)
    assert question.by_id["PRESS"].gives == {"press": 48, "people": 34}
    assert notes == []


def test_one_demand_counts_for_every_month(tmp_path):
    assert read_outlay(written(tmp_path, demand_per_week="12"))[0].demand == (12, 12, 12)


@pytest.mark.parametrize(
    ("purchase", "head", "says"),
    [
        ({}, {"demand_per_week": "[1, 2]"}, "demand_per_week: 2 numbers for 3 months"),
        ({}, {"yield": "1.2"}, "yield: 1.2 can't be; it must be 0 to 1"),
        ({}, {"cash_start": None}, "cash_start: required, and missing"),
        ({}, {"demand_per_week": '["many"]'}, "'many' is not a number"),
        ({"cost": "-5"}, {}, "purchases.PRESS.cost: -5 can't be"),
        ({"needs": '["PRESS"]'}, {}, "PRESS needs itself"),
        ({"needs": '["PRES"]'}, {}, "no purchase 'PRES' here; the nearest is PRESS"),
        ({"gives": "{ pres = 10 }"}, {}, "no resource 'pres' here; the nearest is press"),
        ({"necessity": '"vital"'}, {}, "'vital' is none of the choices"),
        ({"lead_months": "1.5"}, {}, "1.5 is not a whole number"),
    ],
)
def test_what_can_not_be_is_named_with_its_field(tmp_path, purchase, head, says):
    found = faults(written(tmp_path, purchase, **head))
    assert any(says in one for one in found), found
    assert all(one.startswith("outlay.toml") for one in found)


def test_purchases_that_need_each_other_are_a_fault(tmp_path):
    ring = ({"needs": '["GUARD"]'}, {"id": '"GUARD"', "needs": '["PRESS"]'})
    found = faults(written(tmp_path, *ring))
    assert len(found) == 1
    assert "GUARD needs PRESS needs GUARD" in found[0]


def test_ranges_out_of_order_unknown_or_twice_are_faults(tmp_path):
    more = "\n".join(
        f'[[ranges]]\nof = "{of}"\nlow = {low}\nhigh = 0.1' for of, low in
        (("yield", 0.5), ("price_per_sheet", -0.1), ("price_per_sheet", -0.1), ("rent", -0.1))
    )  # fmt: skip
    found = faults(written(tmp_path, more=more))
    assert len(found) == 3
    assert any("not in order" in one for one in found)
    assert any("price_per_sheet has a range already" in one for one in found)
    assert any("'rent' is none of the choices" in one for one in found)


def test_everything_wrong_is_said_at_once(tmp_path):
    found = faults(written(tmp_path, {"cost": None}, {"id": '"PRESS"', "needs": '["X"]'}, **{"yield": "2"}))
    assert len(found) == 4


def test_a_resource_that_nothing_gives_is_worth_a_word(tmp_path):
    _, notes = read_outlay(written(tmp_path, resources='["press", "saw"]'))
    assert notes == ["outlay.toml line 9, resources: nothing gives saw, so no sheet is ever made."]


def test_the_usual_checklist_stands_behind_the_shops_own_lines(tmp_path):
    more = '[[checklist]]\nid = "FIRE"\nwhat = "agreed"\nowner = "OP1"\ndate = 2026-04-01\ndone = true\n'
    question, _ = read_outlay(written(tmp_path, more=more))
    assert question.checks[0].owner == "OP1"
    assert [one.id for one in question.checks].count("FIRE") == 1
    assert len(question.checks) > 8


def test_a_check_before_nothing_known_is_a_fault(tmp_path):
    more = '[[checklist]]\nid = "X"\nwhat = "y"\nbefore = "SAWS"\n'
    assert "nothing is called 'SAWS' here" in faults(written(tmp_path, more=more))[0]


def test_more_optional_purchases_than_the_search_looks_at_are_refused(tmp_path):
    many = [{"id": f'"F{n}"', "necessity": '"faster"'} for n in range(17)]
    assert "17 purchases that are faster or nicer" in faults(written(tmp_path, *many))[0]


@pytest.mark.parametrize("words", ["0.94", '"94 %"', '"94%"', '"0,94"'])
def test_a_yield_may_be_a_share_or_percent(tmp_path, words):
    assert read_outlay(written(tmp_path, **{"yield": words}))[0].yield_ == pytest.approx(0.94)
