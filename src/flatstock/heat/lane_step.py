"""What is done for WIDTH columns at once: rates, a step, taking it over, tables; the kernels of one column on lanes.

Arrays have an axis of lanes behind all others; `kind` and `cells` are shared, and `tables` (p, WIDTH, nodes, NODE) has
its lanes where they are read fastest. Numbers of which each lane has its own are arrays (1, WIDTH). Compiled each
apart: a call for WIDTH columns costs little.
"""

from __future__ import annotations

from flatstock.heat.compiling import kernel
from flatstock.heat.lanes import in_lanes, select
from flatstock.heat.rates import DT_DY, FLUX, HALF_NOW, JD, JL, JU, F, T, Y, rates
from flatstock.heat.rosenbrock import add_energies, first_stages, last_stage, third_stage
from flatstock.heat.steering import settle
from flatstock.heat.tables import fill_nodes

__all__ = ["KEPT", "fill_lanes", "rates_of_lanes", "settle_lanes", "step_of_lanes", "take_over"]

#: rows of a state that a step's start is asked for
KEPT = (T, DT_DY, Y, F, JL, JD, JU, FLUX, HALF_NOW)


@kernel(apart=True)
def rates_of_lanes(
    y, guess, kind, memory, cells, joints, polymers, tables, ends, heaters, edge, room, closed, pressed, sloped, w,
    flows,
):  # fmt: skip
    """`rates`; edge (1, WIDTH): factor on the film there; closed (1, WIDTH): above 0 where the press has closed."""
    rates(
        in_lanes(y), in_lanes(guess), kind, in_lanes(memory), cells, in_lanes(joints), in_lanes(polymers), tables,
        in_lanes(ends), in_lanes(heaters), room, in_lanes(closed)[0] > 0.0, pressed, sloped,
        in_lanes(w), in_lanes(flows), in_lanes(edge)[0],
    )  # fmt: skip


@kernel(apart=True)
def _first(dt, y, cells, heaters, w, flows, lu, k, y_new):
    return first_stages(
        in_lanes(dt)[0], in_lanes(y), cells, in_lanes(heaters), in_lanes(w), in_lanes(flows), in_lanes(lu),
        in_lanes(k), in_lanes(y_new),
    )  # fmt: skip


@kernel(apart=True)
def _third(dt, middle, heaters, flows, lu, k, stage, stage_flows, powers, y_new):
    third_stage(
        in_lanes(dt)[0], middle, in_lanes(heaters), in_lanes(flows), in_lanes(lu), in_lanes(k), in_lanes(stage),
        in_lanes(stage_flows), in_lanes(powers), in_lanes(y_new),
    )  # fmt: skip


@kernel(apart=True)
def _last(dt, middle, cells, heaters, w, flows, lu, k, stage, stage_flows, powers, y_new, error, passed):
    lengths, own_heaters, own_flows = in_lanes(dt)[0], in_lanes(heaters), in_lanes(flows)
    own_k, own_powers, total = in_lanes(k), in_lanes(powers), in_lanes(passed)
    in_lanes(error)[0] = last_stage(
        lengths, middle, own_heaters, own_flows, in_lanes(lu), own_k, in_lanes(stage), in_lanes(stage_flows),
        own_powers, in_lanes(y_new),
    )  # fmt: skip
    for j in range(total.shape[0]):
        total[j] = 0.0
    add_energies(lengths, False, cells, own_heaters, own_flows, in_lanes(w), own_k, own_powers, total)


@kernel()
def step_of_lanes(
    dt, y, kind, memory, cells, joints, polymers, tables, ends, heaters, edge, room, closed, pressed, w, flows, lu, k,
    stage, stage_flows, powers, y_new, error, passed,
):  # fmt: skip
    """`rosenbrock.step`, each lane by its own `dt` (1, WIDTH).

    Into error (1, WIDTH) its errors [K], into passed (FLOWS, WIDTH) the heaters' energies [J/m2].
    """
    sloped = len(kind) < 0  # never; written as False it would be a kind of its own, and all compiled twice
    middle = _first(dt, y, cells, heaters, w, flows, lu, k, y_new)
    rates_of_lanes(
        y_new, w, kind, memory, cells, joints, polymers, tables, ends, heaters, edge, room, closed, pressed, sloped,
        stage, stage_flows,
    )  # fmt: skip
    _third(dt, middle, heaters, flows, lu, k, stage, stage_flows, powers, y_new)
    rates_of_lanes(
        y_new, stage, kind, memory, cells, joints, polymers, tables, ends, heaters, edge, room, closed, pressed, sloped,
        stage, stage_flows,
    )  # fmt: skip
    _last(dt, middle, cells, heaters, w, flows, lu, k, stage, stage_flows, powers, y_new, error, passed)


@kernel(apart=True)
def settle_lanes(taken, y, y_new, memory, cells, kind, polymers, w):
    """`settle` where `taken` (1, WIDTH) is above 0; heat in steam is not kept."""
    settle(
        in_lanes(taken)[0] > 0.0, in_lanes(y), in_lanes(y_new), in_lanes(memory), cells, kind, in_lanes(polymers),
        in_lanes(w),
    )  # fmt: skip


@kernel(apart=True)
def take_over(taken, then, then_flows, now, flows):
    """Make the state `then` the one a step starts from, where `taken` (1, WIDTH) is above 0."""
    here = in_lanes(taken)[0] > 0.0
    old, new, old_flows, new_flows = in_lanes(now), in_lanes(then), in_lanes(flows), in_lanes(then_flows)
    for i in range(old.shape[0]):
        for j in KEPT:
            old[i, j] = select(here, new[i, j], old[i, j])
    for i in range(old_flows.shape[0]):
        for j in range(2):
            old_flows[i, j] = select(here, new_flows[i, j], old_flows[i, j])


@kernel(apart=True)
def fill_lanes(polymers, memory, nodes):
    """Nodes of the tables of WIDTH columns; polymers (p, ROW, WIDTH), nodes (p, nodes, NODE_VALUES, WIDTH).

    memory (1, 3 or more, WIDTH): of a cell that was never molten.
    """
    for p in range(polymers.shape[0]):
        fill_nodes(in_lanes(polymers[p]), in_lanes(memory), in_lanes(nodes[p]))
