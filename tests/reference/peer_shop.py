"""Any shop's hot and cooling press for the second solver: from measures and watts, nothing of `flatstock`.

docs/heat.md, "Hot press" and "Cooling": platens larger than the mould, a rim, one heated side, the frame's
capacity on the skins.
"""

from dataclasses import dataclass

import numpy as np
from scipy.optimize import brentq

from tests.reference import peer

ALUMINIUM, STEEL = (2700, 900, 165), (7850, 480, 50)
LDPE = peer.Plastic(922, 4.987e-7, 1.3112e-3, 0.8879e-6, 1929.8, 3.7820, 2701.6, 3.1440, 123.06e3, 110, (90, 117),
                    (90, 105), 0.34, -11.688e-4, 0.24)  # fmt: skip
HIPS = peer.Plastic(1043, 2.0134e-7, 1.0243e-3, 0.5742e-6, 1252.4, 3.7783, 2055, 2.5, 0.0, 98, (98, 138),
                    (98, 138), 0.165, 0.64935e-4, 0.17)  # fmt: skip
ABS = peer.Plastic(1045, 2.5837e-7, 1.0220e-3, 0.5868e-6, 1341.9, 4.0482, 2165, 2.2, 0.0, 105, (105, 145),
                   (105, 145), 0.18, 0.0, 0.18)  # fmt: skip


@dataclass
class Shop:
    """Measures in m, W, °C; a side without power starts at room temperature."""

    platen: tuple  # length, width, thickness
    metal: tuple
    powers: tuple  # bottom, top
    cavity: tuple  # length, width
    frame: tuple  # outside length, outside width, thickness; mild steel
    room: float
    skin: float = 0.002
    on_off: bool = False

    @property
    def area(self):
        return self.cavity[0] * self.cavity[1]

    @property
    def a(self):
        return self.platen[0] * self.platen[1] / self.area

    @property
    def rim(self):
        return 10.0 * (self.a - 1)

    @property
    def edge(self):
        return 2 * sum(self.cavity) / self.area

    @property
    def frame_capacity(self):
        """On each skin, half of the frame's [J/m2K]."""
        length, width, height = self.frame
        return 0.5 * 7850 * 480 * (length * width - self.area) * height / self.area


def _metals(shop, cells, platen_metal, thickness, n):
    """Mask, capacity, half resistance and height of platen, skin, n of plastic, skin, platen."""
    rho, c, k = platen_metal
    d, skin = thickness / cells, shop.skin
    mask = np.zeros(2 * cells + 2 + n, dtype=bool)
    mask[cells + 1 : cells + 1 + n] = True
    plate, cover = [shop.a * rho * c * d] * cells, [7850 * 480 * skin + shop.frame_capacity]
    capacity = np.concatenate([plate, cover, np.ones(n), cover, plate])
    metal, thin = [d / (2 * k * shop.a)] * cells, [skin / 100]
    half = np.concatenate([metal, thin, np.zeros(n), thin, metal])
    height = np.concatenate([[d] * cells, [skin], np.zeros(n), [skin], [d] * cells])
    return mask, capacity, half, height


class WithRim(peer.Column):
    """Loses from the platen cells next to the mould what the rim loses to the room."""

    rim = 0.0
    inner = ()

    def slopes(self, when, y):
        change = super().slopes(when, y)
        for i in self.inner:
            change[i] -= self.rim * (y[i] - self.room) / self.capacity[i]
        return change


def hot_press(shop, plastic, mass, set_point, *, cells=64, platen_cells=6):
    """A cold charge of `mass` [kg/m2] in the press, and its sensors at mid-depth of each platen."""
    n, p = cells, platen_cells
    mask, capacity, half, height = _metals(shop, p, shop.metal, shop.platen[2], n)
    capacity[mask] = mass / n
    joint: list = [0] * (len(mask) - 1)

    def wetting(first, second, metal):
        def value(when, t, x, c):
            low, high = sorted((t[first], t[metal]))
            face = np.clip(t[first] + 0.5 * (t[first] - t[second]), low, high)
            loose = 300 if when >= 30 else 100
            return loose + (3000 - loose) * max(c[first], float(plastic.on_heating(face)))

        return value

    joint[p - 1] = lambda when, *_: 1000 if when >= 30 else 100
    joint[p + 1 + n] = lambda when, *_: 1000 if when >= 30 else 15
    joint[p], joint[p + n] = wetting(p + 1, p + 2, p), wetting(p + n, p + n - 1, p + n + 1)
    most = [power / shop.area for power in shop.powers]
    on = [False, False]  # as on platens soaked at their set-point; `switch` puts a cold one on

    def sensors(t):
        return 0.5 * (t[p // 2 - 1] + t[p // 2]), 0.5 * (t[-p // 2 - 1] + t[-p // 2])

    def heat(t):
        now = sensors(t)
        if shop.on_off:
            return [m if o else 0.0 for m, o in zip(most, on, strict=True)]
        return [float(np.clip(2000 * shop.a * (set_point - s), 0, m)) for s, m in zip(now, most, strict=True)]

    def switch(t):
        for i, s in enumerate(sensors(t)):
            on[i] = s < set_point - 2 or (on[i] and s < set_point + 2)

    column = WithRim(plastic, mask, capacity, half, height, joint, edge=10 * shop.edge, room=shop.room, heat=heat,
                     face=lambda side, t, r: (t - shop.room) / (1 / (4 * shop.a) + r))  # fmt: skip
    column.rim, column.inner = shop.rim, (p - 1, len(mask) - p)
    column.y = np.where(mask, plastic.enthalpy(shop.room, 0.0), shop.room)
    for part, power in ((slice(0, p), most[0]), (slice(-p, None), most[1])):
        column.y[part] = set_point if power else shop.room
    column.x, column.c = np.zeros(len(mask)), np.zeros(len(mask))
    switch(column.y)
    return column, sensors, switch


def melt_through(shop, plastic, mass, set_point, target, *, longest=4 * 3600.0, stretch=4.0, **grid):
    """When [s] (None: not until then), the coldest point then, the lowest of each sensor."""
    column, sensors, switch = hot_press(shop, plastic, mass, set_point, **grid)
    times, cold, seen = [0.0], [shop.room], []

    def watch(when, t):
        times.append(when)
        cold.append(peer.vertex(t[column.is_plastic], -1))
        seen.append(sensors(t))
        switch(t)
        return cold[-1] >= target

    column.march(0.0, 30.0, 1.0, watch)
    column.march(30.0, 150.0, 1.0, watch)
    column.march(150.0, longest, stretch, watch)
    reached = float(np.interp(target, cold[-2:], times[-2:])) if cold[-1] >= target else None
    return reached, cold[-1], np.min(seen, axis=0), column


def molten_at_rest(shop, plastic, mass, set_point, *, cells=48, platen_cells=8):
    """Temperatures when nothing changes any more and all is molten: conductances only, one linear system."""
    n, p = cells, platen_cells
    mask, _, half, height = _metals(shop, p, shop.metal, shop.platen[2], n)
    t = np.full(len(mask), float(set_point))
    for _ in range(6):  # the melt's volume depends a little on its temperature
        height[mask] = mass / n * (plastic.vl0 + plastic.vl1 * (t[mask] - 180))
        half[mask] = height[mask] / (2 * plastic.kl0)
        resistance = half[:-1] + half[1:]
        resistance[[p - 1, p + n + 1]] += 1 / 1000
        resistance[[p, p + n]] += 1 / 3000
        lost = 10 * shop.edge * height
        lost[[p - 1, -p]] += shop.rim
        lost[[0, -1]] += 1 / (1 / (4 * shop.a) + half[[0, -1]])
        matrix, right = np.diag(lost), lost * shop.room
        for i, g in enumerate(1 / resistance):
            matrix[i : i + 2, i : i + 2] += g * np.array([[1, -1], [-1, 1]])
        for power, back, first in ((shop.powers[0], 0, p // 2 - 1), (shop.powers[1], -1, -p // 2 - 1)):
            gain = 2000 * shop.a if power else 0.0
            matrix[back, first] += gain / 2
            matrix[back, first + 1] += gain / 2
            right[back] += gain * set_point
        t = np.linalg.solve(matrix, right)
    return t, mask


def still_air(shop, side, t, half):
    """docs/heat.md, "Cooling": free convection and radiation at the true face, per m2 of mould."""
    length, room = shop.area / (2 * sum(shop.cavity)), shop.room

    def loss(face):
        rise = face - room
        h = 1.52 * abs(rise) ** (1 / 3) if side else 0.65 * (abs(rise) / length) ** 0.25
        far = peer.SIGMA * ((face + 273.15) ** 4 - (room + 273.15) ** 4)
        return shop.a * (h * rise + 0.8 * far)

    if abs(t - room) < 1e-9:
        return 0.0
    low, high = sorted((room, t))
    return loss(brentq(lambda face: (t - face) / half - loss(face), low, high, xtol=1e-9))


def cold_press(shop, plastic, mass, hot, face, *, cells=40, plate_cells=4):
    """A mould at `hot` all through between plates at room temperature; `face(side, t, half)` is the loss there."""
    p, n = plate_cells, cells
    mask, capacity, half, height = _metals(shop, p, shop.metal, shop.platen[2], n)
    capacity[mask] = mass / n
    joint: list = [0] * (len(mask) - 1)
    for place in (p - 1, p, p + n, p + n + 1):
        joint[place] = 500
    column = WithRim(
        plastic, mask, capacity, half, height, joint, edge=8 * shop.edge, room=shop.room, face=face
    )
    column.rim, column.inner = shop.rim, (p - 1, len(mask) - p)
    column.y = np.full(len(mask), shop.room)
    _lay_in(column, hot, p)
    return column


def _lay_in(column, hot, p):
    column.y[p:-p] = hot
    column.y[column.is_plastic] = column.plastic.enthalpy(hot, 1.0)
    column.x, column.c = column.is_plastic.astype(float), np.ones(len(column.y))


def row_of_moulds(shop, plastic, mass, hot, face, *, below, every, count, stretch=10.0, **grid):
    """How long [s] each of `count` moulds stays that come `every` s apart, plates keeping their heat."""
    column = cold_press(shop, plastic, mass, hot, face, **grid)
    p, stays = grid.get("plate_cells", 4), []
    for _ in range(count):
        _lay_in(column, hot, p)
        times, tops = [0.0], [hot]

        def watch(when, t, times=times, tops=tops):
            times.append(when)
            tops.append(peer.vertex(t[column.is_plastic], 1))
            return tops[-1] <= below

        column.march(0.0, every, stretch, watch)
        stays.append(float(np.interp(-below, [-tops[-2], -tops[-1]], times[-2:])))
        empty = _empty(column, p, shop)
        empty.march(0.0, every - stays[-1], 120.0, lambda *_: False)
        column.y[:p], column.y[-p:] = empty.y[:p], empty.y[p:]
    return stays


def _empty(column, p, shop):
    """The plates on each other until the next mould comes."""
    keep = [*range(p), *range(len(column.y) - p, len(column.y))]
    joint: list = [0] * (2 * p - 1)
    joint[p - 1] = 500
    empty = WithRim(column.plastic, np.zeros(2 * p, dtype=bool), column.capacity[keep], column.half[keep],
                    column.height[keep], joint, edge=column.edge, room=shop.room, face=column.face)  # fmt: skip
    empty.rim, empty.inner = shop.rim, (p - 1, p)
    empty.y, empty.x, empty.c = column.y[keep], np.zeros(2 * p), np.zeros(2 * p)
    return empty
