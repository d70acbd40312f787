"""Presses of shops that no document works out, by the second solver (tests/reference/peer_shop.py)."""

from dataclasses import replace

import numpy as np
import pytest

from flatstock.errors import Refused
from flatstock.evidence import Value
from flatstock.heat import layers as h
from flatstock.heat.pile import Until
from flatstock.heat.polymer import Polymer
from flatstock.heat.stack import Arrival, cool_stack
from flatstock.pressing.card import work_out
from flatstock.pressing.polymers import polymer_of
from flatstock.pressing.questions import CardQuestion
from flatstock.pressing.rig import NEW_FAN, cold_press
from flatstock.workshop.files import read
from flatstock.workshop.shop import Film
from flatstock.workshop.start import StartAnswers, write_new
from tests.heat import columns
from tests.reference import peer, peer_shop

INCH = 0.0254
#: answers to `new`, and the same in the peer's words
ONE_SIDE = (
    {"platen_metal": "aluminium", "heated": "bottom", "power": 4000.0, "room": 20.0,
     "cavity_length": 0.6, "cavity_width": 0.6, "frame_thicknesses": (0.003, 0.006)},
    {"platen": (0.7, 0.7, 0.025), "metal": peer_shop.ALUMINIUM, "powers": (4000, 0), "cavity": (0.6, 0.6),
     "room": 20.0},
)  # fmt: skip
ALUMINIUM_4_KW = (
    {"platen_metal": "aluminium", "power": 4000.0, "room": 16.0, "cavity_length": 0.6, "cavity_width": 0.55,
     "platen_length": 0.66, "platen_width": 0.61, "platen_thickness": 0.03, "frame_thicknesses": (0.012,)},
    {"platen": (0.66, 0.61, 0.03), "metal": peer_shop.ALUMINIUM, "powers": (2000, 2000), "cavity": (0.6, 0.55),
     "room": 16.0},
)  # fmt: skip
STEEL_INCHES = (
    {"units": "us", "power": 12000.0, "room": 25.0, "cavity_length": 40 * INCH, "cavity_width": 22 * INCH,
     "platen_length": 45 * INCH, "platen_width": 27 * INCH, "platen_thickness": 1.5 * INCH,
     "frame_thicknesses": (INCH / 4, INCH)},
    {"platen": (45 * INCH, 27 * INCH, 1.5 * INCH), "metal": peer_shop.STEEL, "powers": (6000, 6000),
     "cavity": (40 * INCH, 22 * INCH), "room": 25.0},
)  # fmt: skip


@pytest.fixture
def working(tmp_path):
    """A card of a started workshop with the control named, and the same press for the peer."""

    def make(answers, words, plastic, thickness, set_point, control="proportional"):
        write_new(tmp_path / "shop", StartAnswers(**answers))
        shop = read(tmp_path / "shop")
        press = replace(shop.hot_presses["HP1"], control=control)
        card = work_out(
            replace(shop, hot_presses={"HP1": press}),
            CardQuestion(plastic=plastic, thickness=thickness, set_point=set_point),
        )
        ring = card.setting.mould.frame
        frame = (ring.outside_length, ring.outside_width, thickness)
        # what the file says the frame weighs, against what the peer takes from its measures
        steel = 7850 * (frame[0] * frame[1] - ring.cavity_area) * thickness
        assert ring.mass == pytest.approx(steel, rel=1e-6)
        return card, peer_shop.Shop(**words, frame=frame, on_off=control == "on_off")

    return make


@pytest.mark.parametrize(
    ("shop", "plastic", "thickness", "set_point", "target"),
    [
        (ALUMINIUM_4_KW, "ldpe", 0.012, 170.0, 145.0),
        (ALUMINIUM_4_KW, "abs", 0.012, 220.0, 190.0),
        (STEEL_INCHES, "hips", INCH, 190.0, 165.0),
        (STEEL_INCHES, "hdpe", INCH / 4, 195.0, 165.0),
    ],
)
def test_the_peer_melts_through_when_a_started_workshop_says(
    working, shop, plastic, thickness, set_point, target
):
    """0.3 % in time, 0.3 K in the dip; grids of 48 and 48 cells leave 0.1 % each."""
    card, theirs = working(*shop, plastic, thickness, set_point)
    kinds = {"ldpe": peer_shop.LDPE, "hips": peer_shop.HIPS, "abs": peer_shop.ABS, "hdpe": peer.HDPE}
    assert card.heating.target == target
    when, _, lowest, _ = peer_shop.melt_through(
        theirs, kinds[plastic], card.charge.mass_per_area, set_point, target, cells=48, stretch=15.0
    )
    assert card.heating.melt_history.time == pytest.approx(when, rel=3e-3)
    heated = [side for side, power in enumerate(theirs.powers) if power]
    dips = [set_point - lowest[side] for side in heated]
    assert card.heating.dip.value == pytest.approx(max(dips), abs=0.3)


def test_the_peer_with_switched_heaters_melts_through_when_the_card_says(working):
    """Off while a mould is laid on soaked platens: 0.3 % and 0.3 K; one that starts on is 1 to 2 % sooner."""
    shop, set_point = ALUMINIUM_4_KW, 170.0
    card, theirs = working(*shop, "ldpe", 0.012, set_point, control="on_off")
    when, _, lowest, _ = peer_shop.melt_through(
        theirs, peer_shop.LDPE, card.charge.mass_per_area, set_point, 145.0, cells=48, stretch=4.0
    )
    assert card.heating.melt_history.time == pytest.approx(when, rel=3e-3)
    assert card.heating.dip.value == pytest.approx(set_point - min(lowest), abs=0.3)


def test_one_heated_side_leaves_the_sheet_as_cold_as_a_chain_of_conductances_says(working):
    """4 kW from below, 6 mm: nothing moves, so the refusal's number needs no march through time (0.1 K)."""
    card, theirs = working(*ONE_SIDE, "hdpe", 0.006, 190.0)
    t, mask = peer_shop.molten_at_rest(theirs, peer.HDPE, card.charge.mass_per_area, 190.0)
    assert t[mask].min() > 138.0  # as taken: all is molten
    press, mould = card.heating.loaded(48, 8)
    _, _, outcome = press.hold(mould, duration=48 * 3600.0, tolerance=0.1)
    assert outcome.history.coldest[-1, 0] == pytest.approx(t[mask].min(), abs=0.1)
    assert outcome.history.sensor[-1, 1] == pytest.approx(t[-5:-3].mean(), abs=0.1)
    with pytest.raises(Refused) as refused:
        _ = card.heating.dwell
    said = refused.value.faults[0].sentence()
    assert "HDPE 6 mm never melts through in HP1, heated from below only" in said
    assert f"levels off at {t[mask].min():.0f} °C and would need 165 °C" in said
    assert f"has no heaters and comes to {t[-5:-3].mean():.0f} °C" in said


def test_one_heated_side_melts_a_thin_sheet_when_the_peer_does(working):
    """The answer crosses 165 °C on its way to about 190, an hour after loading: 0.3 % on the same cells.

    The coldest point is a cell's middle beside a skin, so the answer moves in first order with the grid, by 1.7 % from
    24 to 192 cells; a card takes 192, for which the peer would take a minute.
    """
    card, theirs = working(*ONE_SIDE, "hdpe", 0.003, 220.0)

    until = Until(kind="coldest_above", level=165.0)
    ours = {}
    for cells in (24, 192):
        press, mould = card.heating.loaded(cells, 4)
        _, _, outcome = press.hold(mould, duration=7200.0, until=until, tolerance=0.02)
        ours[cells] = outcome.time
    peer_takes = peer_shop.melt_through(
        theirs,
        peer.HDPE,
        card.charge.mass_per_area,
        220.0,
        165.0,
        cells=24,
        platen_cells=4,
        stretch=120.0,
    )[0]
    assert ours[24] == pytest.approx(peer_takes, rel=3e-3)
    assert card.heating.melt_history.time == pytest.approx(ours[192], rel=3e-3)


def _water(shop, side, t, half):
    return (t - 12.0) / (1 / (800.0 * shop.a) + half)


def _fans(shop, side, t, half):
    return (t - shop.room) / (1 / (25.0 * shop.a) + half)


@pytest.mark.parametrize(
    ("facing", "changes", "plastic", "thickness", "hot", "below"),
    [
        (_water, {"film": "water"}, "pp", 0.010, 205.0, 80.0),
        (_fans, {"fans": True}, "abs", 0.008, 215.0, 80.0),
        (peer_shop.still_air, {}, "hdpe", 0.010, 185.0, 90.0),
    ],
)
def test_the_peer_opens_a_row_of_moulds_when_the_engine_does(
    working, facing, changes, plastic, thickness, hot, below
):
    """Steel plates 25 mm larger than the mould, three in a row 40 min apart: 0.5 % in time, or 1 s."""
    answers, words = ALUMINIUM_4_KW
    frames = answers | {"frame_thicknesses": (thickness,), "platen_metal": "mild_steel"}
    target = {"pp": 215.0, "abs": 220.0, "hdpe": 195.0}[plastic]
    card, theirs = working(frames, words | {"metal": peer_shop.STEEL}, plastic, thickness, target)
    setting = card.setting
    machine = replace(setting.cooling, fan_film=NEW_FAN)
    if "film" in changes:
        film = Film(kind="water", film=Value.sure(800.0, source="a test", unit="W/m2K"), temperature=12.0)
        machine = replace(machine, film_bottom=film, film_top=film)
    press = cold_press(machine, setting.mould, room=theirs.room, fans="fans" in changes)
    mass = card.charge.mass_per_area
    sheet = h.sheet(polymer_of(setting.thermal), mass=mass, temperature=hot, cells=40)
    ours, every = [], 2400.0
    for _ in range(3):
        mould = setting.mould.around(sheet, hot)
        until = Until(kind="hottest_below", level=below)
        press, _, outcome = press.hold(mould, duration=every, until=until, tolerance=0.02)
        assert outcome.reached
        ours.append(outcome.time)
        press = press.stand_empty(every - outcome.time, tolerance=0.02)
    kinds = {"pp": peer.PP, "abs": peer_shop.ABS, "hdpe": peer.HDPE}
    stays = peer_shop.row_of_moulds(
        theirs, kinds[plastic], mass, hot, lambda *at: facing(theirs, *at), below=below, every=every, count=3
    )
    assert ours == pytest.approx(stays, rel=5e-3, abs=1.0)


def test_the_peer_cools_three_thick_moulds_of_hips_as_the_engine_does():
    """20 mm, one every 25 min from 180 °C: hottest points within 0.2 K at 2 to 14 h, and nothing latent."""
    cells, every = 16, 1500.0
    polymer = Polymer(
        density=1043, solid_volume_slope=2.0134e-7, melt_volume_180=1.0243e-3, melt_volume_slope=0.5742e-6,
        solid_cp_23=1252.4, solid_cp_slope=3.7783, melt_cp_180=2055, melt_cp_slope=2.5, latent=0, latent_at=98,
        melting_onset=98, melting_end=138, freezing_end=98, freezing_onset=138,
        solid_k_23=0.165, solid_k_slope=0.64935e-4, melt_k_180=0.17,
    )  # fmt: skip
    moulds = [columns.hot_mould(polymer, thickness=0.020, cells=cells) for _ in range(3)]
    looks = np.array([2.0, 4.0, 8.0, 14.0]) * 3600
    ours = cool_stack(
        columns.stack_place(), [Arrival(m, i * every) for i, m in enumerate(moulds)], end=looks[-1]
    )
    melt = (
        np.array([180.0] + [peer_shop.HIPS.enthalpy(180.0, 1.0)] * cells + [180.0]),
        np.array([0.0] + [1.0] * cells + [0.0]),
    )
    inside: list[tuple[np.ndarray, np.ndarray]] = []
    plates, found = [np.full(4, 20.0), np.full(4, 20.0)], {}

    def watch(when, t):
        sheets = np.split(np.flatnonzero(column.is_plastic), len(inside))
        found[round(when)] = [peer.vertex(t[part], 1) for part in sheets]

    for i in range(3):
        inside.append(melt)
        column = peer.stack_of(peer_shop.HIPS, 0.020, inside, plates, cells)
        column.march(i * every, (i + 1) * every if i < 2 else looks[-1], 150.0, watch)
        y, x, size = column.y, column.x, cells + 2
        inside = [
            (y[4 + k * size : 4 + (k + 1) * size], x[4 + k * size : 4 + (k + 1) * size]) for k in range(i + 1)
        ]
        plates = [y[:4], y[-4:]]
    for when in looks:
        assert [ours.hottest_at(i, when) for i in range(3)] == pytest.approx(found[round(when)], abs=0.2), (
            when
        )
