"""The march may stop because its record is full and go on: the caller's buffers are not part of the answer."""

import numpy as np
import pytest

from flatstock.heat import march as m
from flatstock.heat import rates as r
from flatstock.heat.pile import lay_out, run
from tests.heat.columns import HDPE, hot_column


def marched(rows: int, tolerance: float = 0.002):
    """Times and final state of 300 s in the press, with a record of `rows` rows at a time."""
    a = lay_out(hot_column(HDPE, thickness=0.006, cells=12, kind="on_off"))
    state = np.zeros(m.RUN)
    state[m.END], state[m.CLOSE], state[m.TOLERANCE], state[m.ROOM], state[m.PRESSED] = (
        300,
        30,
        tolerance,
        20,
        1,
    )
    total, times = np.zeros(r.FLOWS), []
    while True:
        record, seen = np.zeros((rows, m.RECORD)), np.zeros((rows, 1, m.SHEET_RECORD))
        ended, used = m.march(
            a.y, a.temperature, a.kind, a.memory, a.cells, a.joints, a.polymers, a.tables, a.ends, a.heaters, a.sheets,
            state, total, record, seen, np.zeros((0, 3, len(a.y))),
        )  # fmt: skip
        times += record[:used, m.R_TIME].tolist()
        if ended != m.BUFFER_FULL:
            return np.array(times), a.temperature, total


@pytest.mark.parametrize("rows", [7, 40])
def test_a_full_record_does_not_change_the_answer(rows):
    """Within the steps' tolerance: the step control forgets the error before when it goes on."""
    times, temperature, total = marched(5000)
    parts, after, passed = marched(rows)
    assert len(times) > 2 * rows
    assert np.all(np.diff(parts) > 0)
    assert parts[-1] == times[-1] == 300
    assert after == pytest.approx(temperature, abs=0.02)
    assert passed == pytest.approx(total, rel=1e-4, abs=1)


def test_a_run_of_more_steps_than_one_record_holds_is_whole():
    end = run(hot_column(HDPE, cells=16), duration=3000, close_after=30, tolerance=2e-4)
    assert end.steps > 400
    assert len(end.history.time) == end.steps + 1
    assert np.all(np.diff(end.history.time) > 0)
    assert end.energy.closure < 1e-8
