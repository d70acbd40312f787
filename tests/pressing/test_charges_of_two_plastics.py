"""A charge of lots of two plastics: heat by both, and each limit by the plastic that bears least."""

from __future__ import annotations

from dataclasses import replace
from datetime import timedelta

import pytest

from flatstock.pressing.card import answer_card, work_out
from flatstock.pressing.forecast import forecast
from flatstock.pressing.questions import CardQuestion, MouldWords, StackQuestion
from flatstock.pressing.setting import plastics_of
from flatstock.pressing.stack import answer_stack

from .conftest import MONDAY

FRAME = {"thickness": 0.012, "frame": "F12-1"}


@pytest.fixture(scope="module")
def dry(with_lots):
    """LDPE film flake, HDPE crates and PP tubs, dry and clean."""
    return with_lots(
        {
            "L-2307": {"moisture": 0.0, "mfr": 1.0},
            "L-2302": {"moisture": 0.0, "strangers": {}},
            "L-2304": {"moisture": 0.0, "strangers": {}},
        }
    )


@pytest.fixture(scope="module")
def made(dry):
    def ask(plastic="hdpe", **lots):
        shares = {name.replace("_", "-"): share for name, share in lots.items()}
        return work_out(dry, CardQuestion(plastic=plastic, set_point=195.0, lots=shares, **FRAME))

    return ask


def test_at_the_ends_of_its_shares_a_charge_is_the_pure_plastic(made):
    """A millionth of the other changes the time to one temperature by less than 0.01 %."""
    for host, pure, trace in (
        ("hdpe", {"L_2302": 1.0}, {"L_2302": 1 - 1e-6, "L_2307": 1e-6}),
        ("ldpe", {"L_2307": 1.0}, {"L_2307": 1 - 1e-6, "L_2302": 1e-6}),
    ):
        alone, both = made(host, **pure).heating, made(host, **trace).heating
        level = min(alone.target, both.target)
        assert heated_to(both, level) == pytest.approx(heated_to(alone, level), rel=1e-4)


def heated_to(heating, level):
    """When the coldest point has `level`, on the card's grid [s]."""
    return replace(heating, target=level).melt_history.time


def test_a_card_of_one_plastic_whose_lots_are_of_another_is_that_others(made, dry):
    named, own = made("hdpe", L_2307=1.0), made("ldpe", L_2307=1.0)
    assert named.heating.dwell == own.heating.dwell
    assert named.cool_times == own.cool_times


def test_dwell_and_cooling_lie_between_those_of_the_two_plastics(made):
    """Time to one and the same temperature: 165 °C of the core, 70 °C when opened."""
    hdpe, both, ldpe = made(L_2302=1.0), made(L_2302=0.7, L_2307=0.3), made("ldpe", L_2307=1.0)
    times = [heated_to(card.heating, 165.0) for card in (ldpe, both, hdpe)]
    assert times == sorted(times)
    assert times[0] < times[1] < times[2]


def test_core_face_and_opening_go_by_the_plastic_that_asks_most(made, dry):
    known, card = plastics_of(dry), made(L_2302=0.7, L_2307=0.3)
    hdpe, ldpe = known["hdpe"].process, known["ldpe"].process
    assert card.heating.target == max(hdpe.melt_target.value, ldpe.melt_target.value) == 165
    assert card.setting.process.open_below == ldpe.open_below
    assert card.setting.process.demould_below == ldpe.demould_below
    assert card.heating.face_levels[1] == min(hdpe.face_limit.value, ldpe.face_limit.value)
    assert card.setting.process.highest_set_point == ldpe.highest_set_point
    raised = made(L_2302=0.95, L_2304=0.05)
    assert raised.heating.target == known["pp"].process.melt_target.value > hdpe.melt_target.value
    assert raised.heating.dwell.value > made(L_2302=1.0).heating.dwell.value


def test_the_clock_of_the_face_is_the_faster_of_both_at_the_set_point(made, dry):
    """PP's 110 kJ/mol are slower than HDPE's 100 below 200 °C, where all clocks run alike, and faster above."""
    lots = {"L-2302": 0.95, "L-2304": 0.05}
    cool = made(L_2302=0.95, L_2304=0.05).setting.process
    hot = work_out(dry, CardQuestion(plastic="hdpe", set_point=208.0, lots=lots, **FRAME)).setting.process
    assert (cool.face_activation.value, hot.face_activation.value) == (100e3, 110e3)
    assert cool.face_allowance == plastics_of(dry)["pp"].process.face_allowance


def test_shrinkage_is_that_of_both_by_the_volume_they_take_up(made, dry):
    """By hand: φ = (w/ρ) / Σ w/ρ, s = Σ φ s."""
    known = plastics_of(dry)
    volumes = {"hdpe": 0.7 / known["hdpe"].density.value, "ldpe": 0.3 / known["ldpe"].density.value}
    expected = sum(v * known[name].shrinkage.value for name, v in volumes.items()) / sum(volumes.values())
    shrinkage = made(L_2302=0.7, L_2307=0.3).charge.shrinkage
    assert shrinkage.value == pytest.approx(expected, rel=1e-12)
    assert shrinkage.note.startswith("s = Σ φ·s of 69.3 % by volume HDPE 2.2 %")


def test_a_set_point_above_the_limit_of_any_plastic_in_the_charge_is_refused(refusal, dry):
    words = {"set_point": 215.0, "lots": {"L-2302": 0.7, "L-2307": 0.3}}
    assert "215 °C is above 210 °C, the highest for polyethylene, low density" in refusal(dry, **words)


def test_the_card_says_how_it_was_worked_out_and_names_each_plastics_inputs(dry):
    lots = {"L-2302": 0.7, "L-2307": 0.3}
    document = answer_card(dry, CardQuestion(plastic="hdpe", lots=lots, **FRAME)).document
    assert any(
        "Worked out as 70 % HDPE and 30 % LDPE" in said and "opened below 70 °C (LDPE)" in said
        for said in document["warnings"]
    )
    why = {one["of"]: {line["name"]: line for line in one["inputs"]} for one in document["why"]}
    for of in ("dwell_min", "press_cool_min"):
        assert {"share of HDPE", "share of LDPE", "HDPE: heat of fusion", "LDPE: heat of fusion"} <= set(
            why[of]
        )
    assert "LDPE: melting ends" in why["dwell_min"]
    assert "LDPE: freezing ends" in why["press_cool_min"]
    assert {name: line["value"] for name, line in why["open_below_C"].items()} == {
        "release limit of HDPE": 90,
        "release limit of LDPE": 70,
    }


def test_a_weeks_forecast_cools_a_charge_of_two_plastics_by_both(made, dry):
    both = forecast(dry, made(L_2302=0.7, L_2307=0.3), colour=None)
    alone = forecast(dry, made(L_2302=1.0), colour=None)
    assert both.press_cool["CP1"] > alone.press_cool["CP1"]  # opened at 70 °C instead of 90
    assert both.cool_to_end["CP1"] > alone.cool_to_end["CP1"]  # demoulded at 40 °C instead of 45


def test_a_mould_of_two_plastics_cools_in_a_stack_by_both(dry):
    """Between the two alone, each looked at by its own mean melted fraction; opened at the lower limit, 40 °C."""
    asked = {"at": MONDAY + timedelta(hours=5), "place": "ST1"}

    def cooled(plastic, lots=()):
        words = MouldWords(plastic=plastic, thickness=0.012, arrives=MONDAY, core=180.0, lots=lots)
        return answer_stack(dry, StackQuestion(moulds=(words, words), **asked)).document

    hdpe, both, ldpe = (
        cooled("hdpe"), cooled("hdpe", (("L-2302", 0.7), ("L-2307", 0.3))), cooled("ldpe")
    )  # fmt: skip
    cores = [one["hottest_C"]["value"] for one in (ldpe, both, hdpe)]
    assert cores == sorted(cores)
    assert {mould["open_below_C"] for mould in both["moulds"]} == {40.0}
    assert both["energy_error"] < 1e-8
    names = {line["name"] for why in both["why"] for line in why["inputs"]}
    assert {"HDPE: heat of fusion", "LDPE: heat of fusion"} <= names
