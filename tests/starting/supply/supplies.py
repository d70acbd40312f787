"""Supplies to ask about: the demo's, and others made by changing it."""

from dataclasses import replace

from flatstock.evidence import Value
from flatstock.workshop.supply import Load, Rule, Supply, Use

DEMO_USE = Use(heated_mass=462.0, heat_capacity=490.0, loss=12.0, hot=195.0, room=18.0)


def a_load(name, kW, connection="LN", **changes):
    said = {
        "id": name,
        "connection": connection,
        "power": kW * 1000,
        "power_factor": 1.0,
        "control": "steady",
    }
    return Load(**{**said, **changes})


HEAT = a_load("HEAT", 18.0, "3P", control="on_off", elements=12, continuous=True)
SAW = a_load("SAW", 3.529, "3P", power_factor=0.80, control="motor", start_factor=7.0)
PUMP = a_load("PUMP", 1.5, phase=1, power_factor=0.75, control="motor", start_factor=6.0)
EXTRACT = a_load("EXTRACT", 1.5, phase=2, power_factor=0.75, control="motor", start_factor=6.0)
SMALL = a_load("SMALL", 1.31, phase=3, power_factor=0.95)


def a_supply(*loads, **changes):
    said = {
        "shop": "", "kind": "grid", "rule": "IEC", "phases": 3, "volts_LL": 400.0, "volts_LN": 230.0,
        "rated": 40.0, "characteristic": "C", "cable_area": 10e-6, "cable": 30.0, "method": "C", "ambient": 30.0,
        "residual": 0.030, "generator": None, "energy_price": Value.sure(0.28 / 3.6e6), "demand_price": 0.0,
        "loads": loads or (HEAT, SAW, PUMP, EXTRACT, SMALL), "rules": (), "use": DEMO_USE,
    }  # fmt: skip
    return Supply(**{**said, **changes})


DEMO = a_supply()


def held(supply, when, then, share, *, wired=True):
    return replace(supply, rules=(*supply.rules, Rule(when=when, then=then, share=share, wired=wired)))
