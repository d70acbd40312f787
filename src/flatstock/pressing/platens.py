"""How long empty platens take from one temperature to another, and where they get to: one heat capacity, one loss.

C dT/dt = P - K (T - T_room), so t = C/K ln((P - K (T0 - Tr)) / (P - K (T1 - Tr))): first-order response of a
lumped capacity (Incropera & DeWitt ch. 5, from memory). The slower of the heated platens counts.
"""

from __future__ import annotations

from math import exp, inf, log

from flatstock.workshop.shop import HotPress, Plate

__all__ = ["hold_power", "temperature_after", "time_between"]


def time_between(press: HotPress, start: float, end: float, *, room: float) -> float:
    """Seconds from `start` to `end` [°C], heaters full on or off; inf where it is never reached."""
    times = []
    for power, plate in ((press.power_bottom.value, press.bottom), (press.power_top.value, press.top)):
        if power <= 0:
            continue
        capacity, loss = _capacity(press, plate), _loss(press, plate)
        drive = power if end > start else 0.0
        before, after = drive - loss * (start - room), drive - loss * (end - room)
        if before == 0 or after / before <= 0:
            return inf
        times.append(
            capacity * abs(end - start) / power if loss == 0 else capacity / loss * log(before / after)
        )
    return max(times, default=inf)


def temperature_after(press: HotPress, start: float, seconds: float, *, heaters: bool, room: float) -> float:
    """Where empty platens get to from `start` [°C], heaters full on or off: the cooler one of those that are heated.

    T = T_end + (T0 - T_end) exp(-K t/C), T_end = Tr + P/K; what `time_between` is solved for. Platens without any
    loss rise by P t/C. The caller stops at the set-point, where the thermostat does.
    """
    reached = []
    for power, plate in ((press.power_bottom.value, press.bottom), (press.power_top.value, press.top)):
        if power <= 0:
            continue
        capacity, loss, drive = _capacity(press, plate), _loss(press, plate), power if heaters else 0.0
        if loss == 0:
            reached.append(start + drive * seconds / capacity)
            continue
        end = room + drive / loss
        reached.append(end + (start - end) * exp(-loss * seconds / capacity))
    return min(reached, default=start)


def hold_power(press: HotPress, temperature: float, *, room: float) -> float:
    """What the empty press takes to stay at a temperature [W]."""
    return (_loss(press, press.bottom) + _loss(press, press.top)) * (temperature - room)


def _capacity(press: HotPress, plate: Plate) -> float:
    """Of one platen with its half of the hangers [J/K]."""
    extra = max(0.0, (press.heated_mass or 0.0) - press.bottom.mass - press.top.mass) / 2
    return (plate.mass + extra) * plate.metal.specific_heat.value


def _loss(press: HotPress, plate: Plate) -> float:
    """Of one platen, empty press [W/K]."""
    if press.loss is not None:
        return press.loss.value * plate.area / (press.bottom.area + press.top.area)
    return press.back_film.value * plate.area
