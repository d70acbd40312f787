"""The engine against a second solver that was written for this from docs/heat.md (tests/reference/peer.py)."""

import numpy as np
import pytest

from flatstock.heat.pile import Until, run
from flatstock.heat.stack import Arrival, cool_stack
from tests.heat import columns
from tests.reference import peer


@pytest.mark.parametrize(
    ("name", "thickness", "set_points", "level"),
    [
        ("HDPE", 0.012, (190, 190), 165.0),
        ("PP", 0.006, (215, 215), 185.0),
        ("HDPE", 0.006, (195, None), 150.0),  # the upper platen has no heaters
    ],
)
def test_the_peer_melts_through_when_the_engine_does(name, thickness, set_points, level):
    """0.2 %; sensors' lowest within 0.2 K. Grids of 48 (engine) and 64 cells (peer) leave 0.1 % each."""
    loaded = tuple(190 if s is None else s for s in set_points)
    pile = columns.hot_column(
        getattr(columns, name), thickness=thickness, set_points=set_points, loaded_at=loaded
    )
    ours = run(pile, duration=7200, until=Until(kind="coldest_above", level=level), close_after=30)
    theirs, lowest = peer.press_until(
        *peer.hot_press(getattr(peer, name), thickness, set_points=set_points), level
    )
    assert ours.reached
    assert ours.time == pytest.approx(theirs, rel=2e-3)
    assert ours.history.sensor.min(axis=0) == pytest.approx(lowest, abs=0.2)


def test_the_peer_cools_two_moulds_of_a_stack_as_the_engine_does():
    """The second comes after 40 min; hottest points of both within 0.2 K at every instant looked at."""
    cells, hours = 20, np.array([0.25, 0.6, 0.75, 1.0, 1.5, 2.0, 3.0, 4.0, 6.0])
    second_comes, looks = 2400.0, hours * 3600
    moulds = [columns.hot_mould(cells=cells), columns.hot_mould(cells=cells)]
    ours = cool_stack(
        columns.stack_place(), [Arrival(moulds[0], 0.0), Arrival(moulds[1], second_comes)], end=looks[-1]
    )

    melt = (
        np.array([180.0] + [peer.HDPE.enthalpy(180.0, 1.0)] * cells + [180.0]),
        np.array([0.0] + [1.0] * cells + [0.0]),
    )
    plates = [np.full(4, 20.0), np.full(4, 20.0)]
    found: dict[float, list[float]] = {}

    def sheets(column, t):
        inside = np.flatnonzero(column.is_plastic)
        return [peer.vertex(t[part], 1) for part in np.split(inside, len(inside) // cells)]

    def watch(when, t):
        found[round(when, 3)] = sheets(column, t)

    column = peer.stack_of(peer.HDPE, 0.012, [melt], plates, cells)
    column.march(0.0, 900.0, 30.0, watch)
    column.march(900.0, second_comes, 60.0, watch)
    y, x = column.y, column.x
    first = (y[4:-4], x[4:-4])
    column = peer.stack_of(peer.HDPE, 0.012, [first, melt], [y[:4], y[-4:]], cells)
    column.march(second_comes, looks[-1], 60.0, watch)
    for when in looks:
        expected = found[round(when, 3)]
        got = [ours.hottest_at(i, when) for i in range(len(expected))]
        assert got == pytest.approx(expected, abs=0.2), when
