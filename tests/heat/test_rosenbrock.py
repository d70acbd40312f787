"""RODAS3's coefficients, the code that carries them, and its factors against a dense solver.

Order conditions up to three: Hairer & Wanner, Solving Ordinary Differential Equations II, §IV.7, from memory.
"""

from itertools import pairwise

import numpy as np
import pytest

from flatstock.heat import rates as r
from flatstock.heat import rosenbrock as ros
from flatstock.heat.layers import sheet
from flatstock.heat.pile import Pile, lay_out
from tests.heat.columns import PP, column, film, hot_column, steel, still_air

GAMMA = 0.5
# as in the module's own lines: u_i of stage j in the argument, and over dt
A = np.array([[0, 0, 0, 0], [0, 0, 0, 0], [2, 0, 0, 0], [2, 0, 1, 0]], dtype=float)
C = np.array([[0, 0, 0, 0], [4, 0, 0, 0], [1, -1, 0, 0], [1, -1, -8 / 3, 0]])
M = np.array([2.0, 0, 1, 1])
EMBEDDED = np.array([2.0, 0, 1, 0])
G = np.linalg.inv(np.eye(4) / GAMMA - C)  # Γ, lower triangular with γ on its diagonal
ALPHA = A @ G
BETA = ALPHA + G


def conditions(weights: np.ndarray) -> tuple[float, float, float, float]:
    b = weights @ G
    beta, alpha = BETA.sum(axis=1), ALPHA.sum(axis=1)
    return b.sum(), b @ beta, b @ alpha**2, b @ BETA @ beta


def test_the_four_stages_are_of_third_order():
    assert conditions(M) == pytest.approx((1, 1 / 2, 1 / 3, 1 / 6), abs=1e-14)


def test_the_answer_for_the_step_size_is_of_second_order_only():
    first, second, *third = conditions(EMBEDDED)
    assert (first, second) == pytest.approx((1, 1 / 2), abs=1e-14)
    assert third != pytest.approx([1 / 3, 1 / 6], abs=1e-3)


def test_the_method_is_stiffly_accurate_and_damps_the_stiffest_part_fully():
    """Last row of α + Γ is b; then R(∞) = 1 - bᵀ B⁻¹ 1 = 0. The same for the embedded answer."""
    assert BETA[3] == pytest.approx(M @ G, abs=1e-14)
    for weights in (M, EMBEDDED):
        assert 1 - (weights @ G) @ np.linalg.solve(BETA, np.ones(4)) == pytest.approx(0, abs=1e-14)


class March:
    """The compiled step, one step at a time, on a pile."""

    def __init__(self, pile: Pile) -> None:
        self.a = lay_out(pile)
        n = len(self.a.y)
        self.w, self.stage = np.zeros((n, r.STATE_COLUMNS)), np.zeros((n, r.STATE_COLUMNS))
        self.w[:, r.T] = self.stage[:, r.T] = self.a.temperature
        self.flows, self.stage_flows = np.zeros((r.FLOWS, 2)), np.zeros((r.FLOWS, 2))
        self.lu, self.k = np.zeros((n, ros.FACTOR_COLUMNS)), np.zeros((4, n))
        self.powers = np.zeros((2, r.FLOWS))

    def rates(self, y: np.ndarray) -> np.ndarray:
        """dy/dt; the Jacobian's entries stay in `w`."""
        a = self.a
        r.rates(y, self.w, a.kind, a.memory, a.cells, a.joints, a.polymers, a.tables, a.ends, a.heaters, 20.0, True, True,
                True, self.w, self.flows)  # fmt: skip
        return self.w[:, r.F].copy()

    def step(self, y: np.ndarray, dt: float) -> np.ndarray:
        self.rates(y)
        a, new = self.a, np.zeros(len(y))
        ros.step(dt, y, a.kind, a.memory, a.cells, a.joints, a.polymers, a.tables, a.ends, a.heaters, 20.0, True, True,
                 self.w, self.flows, self.lu, self.k, self.stage, self.stage_flows, self.powers, new)  # fmt: skip
        return new

    def jacobian(self) -> np.ndarray:
        """Dense, as the entries in `w` say, with the sensors' gains outside the band."""
        w, heaters, n = self.w, self.a.heaters, len(self.w)
        j = np.diag(w[:, r.JD]) + np.diag(w[1:, r.JL], -1) + np.diag(w[:-1, r.JU], 1)
        for side, row in ((0, 0), (1, n - 1)):
            gain = self.flows[r.HEAT_BOTTOM + side, 1] / self.a.cells[r.CAP, row]
            at, share = int(heaters[side, r.SENSOR]), heaters[side, r.WEIGHT]
            j[row, at] -= gain * (1 - share)
            j[row, at + 1] -= gain * share
        return j


def warm_pile() -> Pile:
    """Below its melting range everything is smooth: heat capacity, conduction, volume, still air."""
    block = sheet(PP, mass=3.0, temperature=np.linspace(40, 110, 12), cells=12, melted=0.0)
    return column([steel(0.002, 40), block, steel(0.002, 115)], bottom=still_air()[0], top=film(40, 130))


def test_the_code_takes_the_step_that_the_coefficients_say():
    """Same step by numpy's dense solver from the same right-hand side and Jacobian: 1e-12 of the change."""
    march = March(warm_pile())
    y, dt = march.a.y.copy(), 7.0
    f = march.rates(y)
    matrix = np.eye(len(y)) / (GAMMA * dt) - march.jacobian()
    u: list[np.ndarray] = []
    for stage in range(4):
        at = y + sum((A[stage, j] * u[j] for j in range(stage)), np.zeros(len(y)))
        rate = f if stage < 2 else march.rates(at)
        u.append(
            np.linalg.solve(
                matrix, rate + sum((C[stage, j] / dt * u[j] for j in range(stage)), np.zeros(len(y)))
            )
        )
    expected = y + M @ np.array(u)
    got = march.step(y, dt)
    assert got - y == pytest.approx(expected - y, rel=1e-9, abs=1e-12 * np.max(np.abs(expected - y)))


def test_halving_the_steps_divides_the_error_by_about_eight():
    """Order 3 in time with fixed steps on a smooth, nonlinear column (2.7, 2.8, 2.9 here); docs/heat.md asks for 2."""
    march = March(warm_pile())

    def end(steps: int) -> np.ndarray:
        y = march.a.y.copy()
        for _ in range(steps):
            y = march.step(y, 240.0 / steps)
        return y

    exact = end(8192)
    errors = [float(np.max(np.abs(end(steps) - exact))) for steps in (128, 256, 512, 1024)]
    orders = [np.log2(a / b) for a, b in pairwise(errors)]
    assert min(orders) > 2.6, orders
    assert orders[-1] == pytest.approx(3, abs=0.2), orders


@pytest.mark.parametrize("platen_cells", [1, 2, 3, 4, 5, 8])
@pytest.mark.parametrize("seed", range(4))
def test_the_factors_solve_random_systems_with_deep_sensors(platen_cells, seed):
    """Band and both sensors' entries against numpy's dense solver: 1e-11."""
    draw = np.random.default_rng(seed)
    march = March(hot_column(cells=6, platen_cells=platen_cells))
    n = len(march.a.y)
    for name in (r.JL, r.JU):
        march.w[:, name] = draw.uniform(0, 3, n)
    march.w[:, r.JD] = -draw.uniform(7, 9, n)
    march.w[0, r.JL] = march.w[-1, r.JU] = 0
    march.flows[r.HEAT_BOTTOM : r.HEAT_TOP + 1, 1] = march.a.cells[r.CAP, [0, n - 1]] * draw.uniform(
        0.5, 4, 2
    )
    middle = ros._middle(n, march.a.heaters, march.flows)
    ros._factorise(0.8, middle, march.a.cells, march.a.heaters, march.flows, march.w, march.lu)
    right = draw.normal(size=n)
    got = right.copy()
    ros._solve(got, middle, march.a.heaters, True, True, march.lu)
    matrix = np.eye(n) / (GAMMA * 0.8) - march.jacobian()
    assert got == pytest.approx(np.linalg.solve(matrix, right), rel=1e-11, abs=1e-12)


@pytest.mark.parametrize("case", ["warm", "press"])
def test_the_jacobian_is_the_derivative_of_the_rates(case):
    """Forward differences, because a molten cell that cools leaves its curve at once.

    In the press, where the charge has begun to melt, the skins' half resistances and the wetting's second cell
    are left out on purpose: 2 % of the largest entry of a column.
    """
    if case == "warm":
        march = March(warm_pile())
        tolerance = 1e-5
    else:
        from flatstock.heat.pile import run

        march = March(run(hot_column(cells=10, thickness=0.006), duration=150, close_after=30).pile)
        tolerance = 0.02
    y = march.a.y.copy()
    rates = march.rates(y)
    exact = march.jacobian()
    numeric = np.empty_like(exact)
    for i in range(len(y)):
        warmer = y.copy()
        warmer[i] += 1e-5 if march.a.kind[i] < 0 else 0.02
        numeric[:, i] = (march.rates(warmer) - rates) / (warmer[i] - y[i])
    scale = np.max(np.abs(exact), axis=0)
    assert np.max(np.abs(numeric - exact) / scale) < tolerance
