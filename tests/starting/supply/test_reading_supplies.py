"""supply.toml: everything wrong with it at once, by line and field."""

import pytest

from flatstock.errors import Refused
from flatstock.starting.supply.read import read_supply, without
from tests.starting.supply.supplies import DEMO, held

HEAD = 'format = "flatstock.supply/1"\n[supply]\nphases = 3\nvolts_LL = 400\nvolts_LN = 230\nrated_A = 40\n'


def written(tmp_path, text):
    (tmp_path / "supply.toml").write_text(text, "utf-8")
    return tmp_path


def faults(tmp_path, text):
    with pytest.raises(Refused) as refused:
        read_supply(written(tmp_path, text))
    return [one.sentence() for one in refused.value.faults]


def load(**fields):
    said = {"id": '"X"', "connection": '"LN"', "input_kW": "1"} | fields
    return "[[loads]]\n" + "".join(f"{key} = {value}\n" for key, value in said.items() if value is not None)


def test_the_demos_supply_is_read_in_si(tmp_path):
    from flatstock import demo

    demo.copy_to(tmp_path / "shop")
    supply, _ = read_supply(tmp_path / "shop")
    assert [one.id for one in supply.loads] == ["HEAT", "SAW", "PUMP", "EXTRACT", "SMALL"]
    assert supply.loads[0].power == 18_000
    assert supply.cable_area == pytest.approx(10e-6)
    assert supply.residual == pytest.approx(0.030)


@pytest.mark.parametrize(
    ("fields", "says"),
    [
        ({"phase": "4"}, "loads.X.phase: 4 can't be; it must be 1 to 3"),
        ({"power_factor": "1.2"}, "loads.X.power_factor: 1.2 can't be"),
        ({"shaft_kW": "3", "input_kW": "3"}, "shaft power taken for input"),
        ({"input_kW": '"4 hp"'}, "'4 hp' is what the shaft gives, not what the motor draws"),
        ({"connection": '"2P"'}, "'2P' is none of the choices"),
        ({"fixed_phase": "true"}, "it is fixed to no phase"),
        ({"fixed_phase": "2", "phase": "1"}, "fixed to L2, but phase is 1"),
        ({"input_kW": None}, "input_kW or current_A is missing"),
    ],
)
def test_a_load_that_cannot_be_is_named_with_its_field(tmp_path, fields, says):
    found = faults(tmp_path, HEAD + load(**fields))
    assert len(found) == 1, found
    assert says in found[0]
    assert "supply.toml line" in found[0]


def test_a_shaft_without_its_input_is_told_what_to_look_for(tmp_path):
    found = faults(tmp_path, HEAD + load(shaft_kW="3", input_kW=None))
    assert any("3 kW at the shaft is not what the motor draws" in one for one in found)
    assert any("perhaps about 3.53 kW" in one for one in found)


def test_a_phase_that_the_supply_has_not_and_a_three_phase_load_on_one_phase(tmp_path):
    one = HEAD.replace("phases = 3", "phases = 1")
    found = faults(
        tmp_path,
        one + load(phase="2") + load(id='"Y"', connection='"3P"') + load(id='"Z"', connection='"LL"'),
    )
    assert len(found) == 3
    assert "phase 2 of a supply that has L1" in found[0]
    assert "a three-phase load on a supply of one phase" in found[1]
    assert "a load between lines on a supply of one line" in found[2]


def test_everything_wrong_is_said_at_once(tmp_path):
    text = (
        HEAD
        + load(power_factor="1.2")
        + load()
        + '[[rules]]\nwhen = "X"\nthen = "NOBODY"\nby = "interlock"\n'
    )
    found = faults(tmp_path, text)
    assert len(found) == 3
    assert any("X is there already" in one for one in found)
    assert any("no load 'NOBODY' here" in one for one in found)


def test_volts_that_do_not_belong_together_are_a_fault(tmp_path):
    assert "don't belong together" in faults(tmp_path, HEAD.replace("230", "120") + load())[0]


@pytest.mark.parametrize(("line", "neutral"), [(208, 120), (480, 277), (400, 230), (690, 400)])
def test_usual_three_phase_volts_are_read(tmp_path, line, neutral):
    text = HEAD.replace("400", str(line)).replace("230", str(neutral))
    assert read_supply(written(tmp_path, text + load()))[0].volts_LN == neutral


def test_amperes_from_the_plate_give_the_power(tmp_path):
    text = HEAD + load(input_kW=None, current_A="10", power_factor="0.8")
    assert read_supply(written(tmp_path, text))[0].loads[0].power == pytest.approx(1840)


def test_heaters_for_another_voltage_draw_by_its_square(tmp_path):
    """At 220 V for 230 V the power is 0.9149 of the plate's."""
    text = HEAD.replace("400", "381").replace("230", "220")
    heater = load(input_kW="2", control='"on_off"', built_for_V="230")
    assert read_supply(written(tmp_path, text + heater))[0].loads[0].power == pytest.approx(
        2000 * 0.9149, rel=1e-4
    )


def test_a_folder_without_a_supply_says_how_to_begin(tmp_path):
    with pytest.raises(Refused, match=r"the folder has no supply.toml"):
        read_supply(tmp_path)


def test_loads_are_left_out_with_the_rules_about_them():
    left = without(held(DEMO, "SAW", "HEAT", 0.75), ["SAW"])
    assert [one.id for one in left.loads] == ["HEAT", "PUMP", "EXTRACT", "SMALL"]
    assert left.rules == ()


def test_a_load_that_is_not_there_can_not_be_left_out():
    with pytest.raises(Refused, match="no load 'SAWW' here; the nearest is SAW"):
        without(DEMO, ["SAWW"])
