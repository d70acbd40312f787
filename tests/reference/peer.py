"""A second solver of docs/heat.md, written for the tests alone: method of lines, SciPy's LSODA, plain numpy.

Shares no code and no table with `flatstock.heat`. What is done in another way: temperature from enthalpy by
three tables of the two curves and a quadratic in between; fluxes by potentials where both cells lie on the
heating curve; the fractions are brought up to date between short stretches instead of steps of its own.
"""

from dataclasses import dataclass, field

import numpy as np
from scipy.integrate import solve_ivp
from scipy.optimize import brentq

SIGMA = 5.670374419e-8
TABLE = np.linspace(-20.0, 320.0, 34_001)


def smooth(u):
    u = np.clip(u, 0.0, 1.0)
    return u**3 * (10 - 15 * u + 6 * u * u)


@dataclass
class Plastic:
    rho0: float
    vs1: float
    vl0: float
    vl1: float
    cps0: float
    cps1: float
    cpl0: float
    cpl1: float
    L: float
    Tf: float
    Tm: tuple
    Tc: tuple
    ks0: float
    ks1: float
    kl0: float
    tables: dict = field(default_factory=dict)

    def __post_init__(self):
        t = TABLE
        self.tables["heating"] = self.enthalpy(t, self.on_heating(t))
        self.tables["cooling"] = self.enthalpy(t, self.on_cooling(t))
        x = self.on_heating(t)
        g = self.conductivity(t, x, x) / self.volume(t, x, x)
        self.tables["potential"] = np.concatenate([[0], np.cumsum(0.5 * (g[1:] + g[:-1]) * np.diff(t))])

    def on_heating(self, t):
        return smooth((t - self.Tm[0]) / (self.Tm[1] - self.Tm[0]))

    def on_cooling(self, t):
        return smooth((t - self.Tc[0]) / (self.Tc[1] - self.Tc[0]))

    def solid(self, t):
        return self.cps0 * (t - 23) + 0.5 * self.cps1 * (t - 23) ** 2

    def enthalpy(self, t, x):
        rise = self.cpl0 * (t - self.Tf) + 0.5 * self.cpl1 * ((t - 180) ** 2 - (self.Tf - 180) ** 2)
        return (1 - x) * self.solid(t) + x * (self.solid(self.Tf) + self.L + rise)

    def temperature(self, h, before):
        """T and X at enthalpy `h` for cells that had the fraction `before`."""
        warm = np.interp(h, self.tables["heating"], TABLE)
        cool = np.interp(h, self.tables["cooling"], TABLE)
        # both phases have a quadratic enthalpy, so has their mixture
        h0, h1, h2 = (self.enthalpy(s, before) for s in (0.0, 1.0, 2.0))
        a = 0.5 * (h2 - 2 * h1 + h0)
        b = h1 - h0 - a
        kept = np.where(
            np.abs(a) > 1e-9, (-b + np.sqrt(b * b - 4 * a * (h0 - h))) / (2 * np.where(a == 0, 1, a)), 0
        )
        kept = np.where(np.abs(a) > 1e-9, kept, (h - h0) / b)
        up, down = before < self.on_heating(kept), before > self.on_cooling(kept)
        t = np.where(up, warm, np.where(down, cool, kept))
        return t, np.where(up, self.on_heating(t), np.where(down, self.on_cooling(t), before))

    def volume(self, t, x, c):
        dense = (1 - x) * (1 / self.rho0 + self.vs1 * (t - 23)) + x * (self.vl0 + self.vl1 * (t - 180))
        return dense / (1 - 0.5 * (1 - c))

    def conductivity(self, t, x, c):
        dense = (1 - x) * (self.ks0 + self.ks1 * (t - 23)) + x * self.kl0
        gas = 0.0244 + 7.1e-5 * t
        kp, kr = dense / gas, 4 * SIGMA * (t + 273.15) ** 3 * 2.5e-3 / (2 / 0.9 - 1) / gas
        b, root = 1.40, np.sqrt(0.5)
        n = 1 + (kr - b) / kp
        core = (
            b * (kp + kr - 1) / (n**2 * kp) * np.log((kp + kr) / b)
            + (b + 1) / (2 * b) * (kr - b)
            - (b - 1) / n
        )
        bed = gas * ((1 - root) * (1 + 0.5 * kr) + root * (0.001 * kp + 0.999 * 2 / n * core))
        return c * dense + (1 - c) * bed


HDPE = Plastic(955, 4.0207e-7, 1.3063e-3, 1.0337e-6, 1751.0, 4.1921, 2701.6, 3.1440, 202.17e3, 132, (122, 138),
               (113.5, 125.5), 0.46, -14.286e-4, 0.26)  # fmt: skip
PP = Plastic(905, 4.4957e-7, 1.3150e-3, 0.7604e-6, 1864.9, 4.2802, 2671.5, 3.6426, 103.5e3, 163, (148, 170),
             (117, 129), 0.22, -2.5974e-4, 0.18)  # fmt: skip


@dataclass
class Column:
    """Arrays over cells; joints hold a function (time, cells) or a number of W/m2K, 0 inside a layer."""

    plastic: Plastic
    is_plastic: np.ndarray
    capacity: np.ndarray
    half: np.ndarray
    height: np.ndarray
    joint: list
    edge: float
    room: float
    face: object  # (side, cell temperature, half) -> loss
    heat: object = None  # (time, temperatures) -> (bottom, top) power
    y: np.ndarray = None
    x: np.ndarray = None
    c: np.ndarray = None

    def state(self, y):
        p, mask = self.plastic, self.is_plastic
        t, x, c = y.copy(), self.x.copy(), self.c.copy()
        t[mask], x[mask] = p.temperature(y[mask], self.x[mask])
        c[mask] = np.maximum(self.c[mask], x[mask])
        return t, x, c

    def slopes(self, when, y):
        p, mask = self.plastic, self.is_plastic
        t, x, c = self.state(y)
        half, height = self.half.copy(), self.height.copy()
        v = p.volume(t[mask], x[mask], c[mask])
        height[mask] = self.capacity[mask] * v
        half[mask] = 0.5 * height[mask] / p.conductivity(t[mask], x[mask], c[mask])
        resistance = half[:-1] + half[1:]
        for i, joint in enumerate(self.joint):
            if joint:
                resistance[i] += 1 / (joint(when, t, x, c) if callable(joint) else joint)
        q = (t[:-1] - t[1:]) / resistance
        heating = mask & (c == x) & (x == p.on_heating(t))
        both = heating[:-1] & heating[1:] & np.array([not j for j in self.joint])
        phi = np.interp(t, TABLE, p.tables["potential"])
        q = np.where(both, (phi[:-1] - phi[1:]) / (0.5 * (self.capacity[:-1] + self.capacity[1:])), q)
        gain = -self.edge * height * (t - self.room)
        gain[:-1] -= q
        gain[1:] += q
        gain[0] -= self.face(0, t[0], half[0])
        gain[-1] -= self.face(1, t[-1], half[-1])
        if self.heat:
            bottom, top = self.heat(t)
            gain[0] += bottom
            gain[-1] += top
        return gain / self.capacity

    def march(self, start, end, stretch, watch):
        """In stretches; `watch(time, temperatures)` hears each one's end and stops the march by True."""
        now = start
        while now < end - 1e-9:
            stop = min(end, now + stretch)
            done = solve_ivp(self.slopes, (now, stop), self.y, method="LSODA", rtol=1e-5, atol=self.atol, lband=5,
                             uband=5, first_step=min(0.02, stretch / 10))  # fmt: skip
            assert done.success, done.message
            self.y = done.y[:, -1]
            t, self.x, self.c = self.state(self.y)
            now = stop
            if watch(now, t):
                break

    @property
    def atol(self):
        return np.where(self.is_plastic, 2.0, 1e-3)


def vertex(t, sign):
    """Hottest (1) or coldest (-1) point: parabola through the extreme cell and its neighbours."""
    i = int(np.argmax(sign * t))
    if i in (0, len(t) - 1):
        return t[i]
    a, b, c = t[i - 1 : i + 2]
    return b - (a - c) ** 2 / (8 * (a - 2 * b + c)) if a - 2 * b + c else b


def hot_press(plastic, thickness, *, set_points, skin=0.002, power=1e4, cells=64, platen_cells=4):
    """Aluminium platens 25 mm at their set-points (190 without heaters), cold skins and flake, docs/heat.md."""
    n, p = cells, platen_cells
    mask = np.zeros(2 * p + 2 + n, dtype=bool)
    mask[p + 1 : p + 1 + n] = True
    d = 0.025 / p
    capacity = np.concatenate([[2700 * 900 * d] * p, [7850 * 480 * skin], [plastic.rho0 * thickness / n] * n,
                               [7850 * 480 * skin], [2700 * 900 * d] * p])  # fmt: skip
    half = np.concatenate([[d / 330] * p, [skin / 100], [0.0] * n, [skin / 100], [d / 330] * p])
    height = np.concatenate([[d] * p, [skin], [0.0] * n, [skin], [d] * p])
    joint: list = [0] * (len(mask) - 1)

    def wetting(first, second, metal):
        def value(when, t, x, c):
            face = t[first] + 0.5 * (t[first] - t[second])
            low, high = sorted((t[first], t[metal]))
            w = max(c[first], float(plastic.on_heating(np.clip(face, low, high))))
            loose = 300 if when >= 30 else 100
            return loose + (3000 - loose) * w

        return value

    joint[p - 1] = lambda when, *_: 1000 if when >= 30 else 100
    joint[p + 1 + n] = lambda when, *_: 1000 if when >= 30 else 15
    joint[p] = wetting(p + 1, p + 2, p)
    joint[p + n] = wetting(p + n, p + n - 1, p + n + 1)

    def sensors(t):
        return 0.5 * (t[p // 2 - 1] + t[p // 2]), 0.5 * (t[-p // 2 - 1] + t[-p // 2])

    def heat(t):
        return [
            0.0 if s is None else float(np.clip(2000 * (s - now), 0, power))
            for s, now in zip(set_points, sensors(t), strict=True)
        ]

    column = Column(plastic, mask, capacity, half, height, joint, edge=40.0, room=20.0, heat=heat,
                    face=lambda side, t, r: (t - 20) / (0.25 + r))  # fmt: skip
    column.y = np.where(mask, plastic.enthalpy(20.0, 0.0), 20.0)
    for cells_of, s in ((slice(0, p), set_points[0]), (slice(-p, None), set_points[1])):
        column.y[cells_of] = 190 if s is None else s
    column.x = np.zeros(len(mask))
    column.c = np.zeros(len(mask))
    return column, sensors


def press_until(column, sensors, level):
    """Melt-through [s] by a straight line between stretches, and the lowest of each sensor."""
    times, cold, seen = [0.0], [20.0], []

    def watch(when, t):
        times.append(when)
        cold.append(vertex(t[column.is_plastic], -1))
        seen.append(sensors(t))
        return cold[-1] >= level

    column.march(0.0, 30.0, 1.0, watch)
    column.march(30.0, 120.0, 1.5, watch)
    column.march(120.0, 7200.0, 4.0, watch)
    return float(np.interp(level, cold[-2:], times[-2:])), np.min(seen, axis=0)


def still_air(side, t, half):
    """Loss at the true face, found by bisection-like root finding on conduction = convection + radiation."""

    def loss(face):
        rise = face - 20.0
        h = 1.52 * abs(rise) ** (1 / 3) if side else 0.65 * (abs(rise) / 0.25) ** 0.25
        return h * rise + 0.8 * SIGMA * ((face + 273.15) ** 4 - 293.15**4)

    if abs(t - 20.0) < 1e-9:
        return 0.0
    low, high = sorted((20.0, t))
    face = brentq(lambda f: (t - f) / half - loss(f), low, high, xtol=1e-9)
    return loss(face)


def stack_of(plastic, thickness, moulds, plates, cells=20):
    """Column of steel plates of 20 mm and moulds that came at 180 °C; `plates` and `moulds` carry y, x of each."""
    pc = len(plates[0])
    d, skin = 0.020 / pc, 0.002
    parts = [("plate", plates[0])] + [("mould", m) for m in moulds] + [("plate", plates[1])]
    mask, capacity, half, height, y, x, joint = [], [], [], [], [], [], []
    for index, (kind, content) in enumerate(parts):
        if index:
            joint.append(500 if kind == "plate" or index == 1 else 300)
        if kind == "plate":
            mask += [False] * pc
            capacity += [7850 * 480 * d] * pc
            half += [d / 100] * pc
            height += [d] * pc
            y += list(content)
            x += [0.0] * pc
            joint += [0] * (pc - 1)
        else:
            mask += [False] + [True] * cells + [False]
            capacity += [7850 * 480 * skin] + [plastic.rho0 * thickness / cells] * cells + [7850 * 480 * skin]
            half += [skin / 100] + [0.0] * cells + [skin / 100]
            height += [skin] + [0.0] * cells + [skin]
            y += list(content[0])
            x += list(content[1])
            joint += [500] + [0] * (cells - 1) + [500]
    column = Column(plastic, np.array(mask), np.array(capacity), np.array(half), np.array(height), joint, edge=32.0,
                    room=20.0, face=still_air)  # fmt: skip
    column.y, column.x, column.c = np.array(y), np.array(x), np.ones(len(y))
    return column
