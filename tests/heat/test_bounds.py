"""Compiled code looks nothing up outside its arrays: what would make it is refused at the door, and nothing else does."""

import os
import subprocess
import sys
from dataclasses import replace
from pathlib import Path

import numpy as np
import pytest

import flatstock
from flatstock.errors import OutOfRange
from flatstock.heat import rates as r
from flatstock.heat.batch import Varied, cold_rows, hot_cycles
from flatstock.heat.batch_stack import stacks
from flatstock.heat.laws import PARTS
from flatstock.heat.pile import Arrays, Until, lay_out, run
from tests.heat.columns import HDPE, hot_column, hot_mould, stack_place

PILE = hot_column(HDPE, cells=4, platen_cells=2)
LAYOUT = lay_out(PILE)  # platen 2, skin, charge 4, skin, platen 2
N = len(LAYOUT.kind)


def changed(array: np.ndarray, place: object, value: float) -> np.ndarray:
    """A copy with another number at one place."""
    copied = array.copy()
    copied[place] = value
    return copied


WRONG = {
    "a plastic beyond the last": ("kind", changed(LAYOUT.kind, 4, 1), "among the 1"),
    "a plastic before the first": ("kind", changed(LAYOUT.kind, 4, -2), "among the 1"),
    "a sheet past the top": ("sheets", np.array([[3, N + 1]]), "are not cells"),
    "a sheet without cells": ("sheets", np.array([[3, 3]]), "are not cells"),
    "a sheet below the bottom": ("sheets", np.array([[-1, 3]]), "are not cells"),
    "a sensor past the top": ("heaters", changed(LAYOUT.heaters, (1, r.SENSOR), N - 1), "sensor does not lie"),
    "a sensor below the bottom": ("heaters", changed(LAYOUT.heaters, (0, r.SENSOR), -1), "sensor does not lie"),
    "a sensor nowhere": ("heaters", changed(LAYOUT.heaters, (0, r.SENSOR), np.nan), "sensor does not lie"),
    "a joint of no kind": ("joints", changed(LAYOUT.joints, (r.KIND, 1), 7), "of no kind"),
    "wetted metal": ("joints", changed(LAYOUT.joints, (r.KIND, 0), r.PLASTIC_ABOVE), "no plastic at its side"),
    "wetted metal above": ("joints", changed(LAYOUT.joints, (r.KIND, N - 2), r.PLASTIC_BELOW), "no plastic at"),
    "too few joints": ("joints", LAYOUT.joints[:, :-1], "do not join"),
    "a blend without its parts": ("polymers", changed(LAYOUT.polymers, (0, PARTS), 2), "find no room"),
    "a short row": ("polymers", LAYOUT.polymers[:, :20], "20 numbers"),
    "too short a memory": ("memory", LAYOUT.memory[:, :2], "2 numbers a cell"),
    "a cell without a memory": ("memory", LAYOUT.memory[:-1], "memory has the shape"),
    "a cell without capacity": ("cells", LAYOUT.cells[:, :-1], "cells has the shape"),
    "a cell without temperature": ("temperature", LAYOUT.temperature[:-1], "temperature has the shape"),
    "a cell without enthalpy": ("y", LAYOUT.y[:-1], "y has the shape"),
    "no table": ("tables", LAYOUT.tables[:0], "tables has the shape"),
    "one end": ("ends", LAYOUT.ends[:1], "ends has the shape"),
    "one heater": ("heaters", LAYOUT.heaters[:1], "heaters has the shape"),
}  # fmt: skip


@pytest.mark.parametrize(("name", "array", "said"), WRONG.values(), ids=WRONG)
def test_a_layout_that_points_outside_itself_is_refused(name, array, said):
    with pytest.raises(IndexError, match=said):
        replace(LAYOUT, **{name: array})


def of(layout: Arrays, count: int) -> Varied:
    """So many columns that don't differ."""
    each = (layout.polymers, layout.joints, layout.ends, layout.heaters)
    return Varied(*(np.repeat(x[None], count, axis=0) for x in each), edge=np.ones(count))


def pressed(columns: Varied) -> object:
    return hot_cycles(
        LAYOUT, columns, melt_level=165, dose_level=900, face_level=230, activation=1e5, room=20, close_after=30,
        longest=60, grid=np.linspace(0, 60, 3), tolerance=1.0,
    )  # fmt: skip


def stacked(columns: Varied, **other: object) -> object:
    mould, place = hot_mould(HDPE, cells=4), stack_place(2)
    layout = lay_out(place.pile([mould] * 2, *place.plates))
    asked = {"plate_cells": (2, 2), "cells_per_mould": 6, "arrivals": np.zeros(2), "levels": np.full(2, 45.0)}
    return stacks(layout, of(layout, 2), end=60, asked=30, room=20, tolerance=1.0, **asked | other)


@pytest.mark.parametrize(
    ("name", "place", "value", "said"),
    [
        ("heaters", (1, 1, r.SENSOR), N, "sensors' places are not the same"),
        ("joints", (1, r.KIND, 2), r.CONTACT, "joints' kinds are not the same"),
        ("polymers", (1, 0, PARTS), 1, "parts are not the same"),
    ],
)
def test_columns_that_differ_in_what_they_share_are_refused(name, place, value, said):
    columns = of(LAYOUT, 3)
    with pytest.raises(IndexError, match=said):
        pressed(replace(columns, **{name: changed(getattr(columns, name), place, value)}))


def test_columns_of_another_layout_are_refused():
    columns = of(LAYOUT, 3)
    far = columns.heaters.copy()
    far[:, 1, r.SENSOR] = N
    with pytest.raises(IndexError, match="sensor does not lie"):
        pressed(replace(columns, heaters=far))
    with pytest.raises(IndexError, match="do not join"):
        pressed(replace(columns, joints=columns.joints[:, :, :3]))
    with pytest.raises(IndexError, match="edge has the shape"):
        pressed(replace(columns, edge=np.ones(2)))
    with pytest.raises(IndexError, match="sensor does not lie"):
        cold_rows(LAYOUT, replace(columns, heaters=far), moulds=2, level=60, every=60, room=20, plate_cells=2,
                  tolerance=1.0)  # fmt: skip


@pytest.mark.parametrize(
    ("other", "said"),
    [
        ({"plate_cells": (2, 3)}, "are not the 16 cells"),
        ({"cells_per_mould": 7}, "are not the 16 cells"),
        ({"arrivals": np.zeros(3), "levels": np.full(3, 45.0)}, "are not the 16 cells"),
        ({"levels": np.full(1, 45.0)}, "levels has the shape"),
    ],
)
def test_a_stack_whose_moulds_are_not_its_cells_is_refused(other, said):
    stacked(None)
    with pytest.raises(IndexError, match=said):
        stacked(None, **other)


def test_a_sheet_counted_from_the_top_is_refused():
    with pytest.raises(OutOfRange, match="no plastic layer number -2"):
        run(PILE, duration=1, until=Until(kind="coldest_above", level=165, sheet=-2))


# Uncompiled kernels raise where they look outside an array: every kind of column, a few steps of each.
UNCOMPILED = """
from dataclasses import replace
from flatstock.heat.blend import Blend
from flatstock.heat.layers import Joint, charge, sheet
from flatstock.heat.pile import Until, run
from tests.heat.columns import HDPE, INSULATED, PP, column, hot_column, hot_mould, stack_place, steel, still_air
blend = Blend(((0.7, HDPE), (0.3, PP)))
hot = hot_column(HDPE, cells=3, platen_cells=1, kind="on_off", moisture=0.01, area_ratio=1.3, rim_film=10)
both = replace(hot, layers=(*hot.layers[:2], charge(blend, mass=9, temperature=20, cells=3, moisture=0.01), *hot.layers[3:]))
place, mould = stack_place(1), hot_mould(HDPE, cells=3)
below, above = still_air()
piles = [
    hot, both, hot_column(HDPE, cells=4, platen_cells=3, set_points=(None, 190)),
    hot_column(HDPE, cells=4, platen_cells=2, set_points=(190, None), kind="on_off", loaded_at=(120, 250)),
    place.pile([mould, hot_mould(PP, cells=4)], *place.plates), place.pile([mould], None, None),
    column([steel(0.02, 20, 1), steel(0.02, 90, 1)], bottom=below, top=above, joint=Joint.fixed(500)),
    column([sheet(blend, mass=3, temperature=180, cells=3)], bottom=below, top=above),
    column([steel(0.02, 90, 2)], bottom=INSULATED, top=above),
]
for pile in piles:
    for until in (None, Until(kind="coldest_above", level=165), Until(kind="face_spent", level=0.01, limit=170)):
        if until is None or any(layer.polymer for layer in pile.layers):
            done = run(pile, duration=90, until=until, close_after=5, activation=1e5, tolerance=5, profiles=True)
            assert done.time > 0 or done.reached
print(len(piles), "kinds of column")
"""


def test_no_kernel_looks_outside_its_arrays():
    root = Path(flatstock.__file__).parents[1]
    kept = {k: v for k, v in os.environ.items() if not k.startswith(("NUMBA", "PYTHON"))}
    path = os.pathsep.join([str(root), str(Path(__file__).parents[2])])
    done = subprocess.run([sys.executable, "-c", UNCOMPILED], capture_output=True, text=True, timeout=300,
                          env=kept | {"PYTHONPATH": path, "NUMBA_DISABLE_JIT": "1"})  # fmt: skip
    assert done.returncode == 0, done.stderr[-2000:]
    assert done.stdout == "9 kinds of column\n"
