"""Does the cable carry the device in front of it, and what does it drop on the way."""

from __future__ import annotations

from dataclasses import dataclass

from flatstock.workshop.supply import Supply

__all__ = ["AMBIENT", "CARRIES", "DROP", "DROP_LIMIT", "TABLE", "Cable", "cable"]

TABLE = "IEC 60364-5-52 tables B.52.4 and B.52.14, copper in PVC, read at second hand"
DROP_TABLE = "BS 7671 appendix 4, copper in PVC, read at second hand"
#: (method, loaded conductors): mm2 to A at 30 °C, copper, PVC 70 °C; all three: `cable_tables` in docs/sources.md
CARRIES: dict[tuple[str, int], dict[float, float]] = {
    ("C", 3): {1.5: 17.5, 2.5: 24, 4: 32, 6: 41, 10: 57, 16: 76, 25: 96, 35: 119, 50: 144, 70: 184, 95: 223, 120: 259},
    ("C", 2): {1.5: 19.5, 2.5: 27, 4: 36, 6: 46, 10: 63, 16: 85, 25: 112, 35: 138, 50: 168, 70: 213, 95: 258, 120: 299},
    ("B1", 3): {1.5: 15.5, 2.5: 21, 4: 28, 6: 36, 10: 50, 16: 68, 25: 89, 35: 110},
}  # fmt: skip
#: °C to factor, PVC
AMBIENT = {25: 1.06, 30: 1.00, 35: 0.94, 40: 0.87, 45: 0.79, 50: 0.71}
#: loaded conductors: mm2 to mV per A and m; sqrt(3) is inside the three-phase figures
DROP: dict[int, dict[float, float]] = {
    3: {1.5: 25, 2.5: 15, 4: 9.5, 6: 6.4, 10: 3.8, 16: 2.4},
    2: {1.5: 29, 2.5: 18, 4: 11, 6: 7.3, 10: 4.4, 16: 2.8},
}
DROP_LIMIT = 5.0  #: percent, other uses than lighting (3 %): BS 7671, read at second hand (`cable_tables`)


@dataclass(frozen=True, slots=True, kw_only=True)
class Cable:
    """The cable that feeds the shop; None where a table has no such row."""

    needed: float  #: the device in front of it [A]
    carries: float | None  #: [A]
    drop: float | None  #: at the device's rating, end to end [V]
    drop_percent: float | None
    why: tuple[str, ...]  #: what isn't known

    @property
    def verdict(self) -> str:
        """`fits`, `too_thin`, `drops_too_much`, or `unknown`."""
        if self.carries is not None and self.carries < self.needed:
            return "too_thin"
        if self.drop_percent is not None and self.drop_percent > DROP_LIMIT:
            return "drops_too_much"
        return "unknown" if self.carries is None or self.drop is None else "fits"


def cable(supply: Supply) -> Cable:
    """Ib <= In <= Iz with the table's method and ambient factor; the drop at the device's rating."""
    area = None if supply.cable_area is None else round(supply.cable_area * 1e6, 6)
    loaded = 3 if supply.lines == 3 else 2
    why: list[str] = []
    carries = None
    if area is None:
        why.append("the cable's size is not known")
    elif supply.rule == "NEC":
        why.append("no NEC cable table is on file here; the electrician's table decides")
    elif supply.method is None:
        why.append("how the cable is laid is not known")
    else:
        base = CARRIES.get((supply.method.upper(), loaded), {}).get(area)
        factor = _ambient(supply.ambient)
        if base is None or factor is None:
            why.append(
                f"{area:.4g} mm2, method {supply.method}, at {supply.ambient:g} °C is not in the table on file"
            )
        else:
            carries = base * factor
    per_metre = DROP[loaded].get(area) if area is not None else None
    if area is not None and per_metre is None:
        why.append(f"the drop of {area:.4g} mm2 is not in the table on file")
    if supply.cable is None:
        why.append("the cable's length is not known")
    drop = percent = None
    if per_metre is not None and supply.cable is not None:
        drop = per_metre / 1000 * supply.rated * supply.cable
        percent = 100 * drop / _volts(supply)
    return Cable(needed=supply.rated, carries=carries, drop=drop, drop_percent=percent, why=tuple(why))


def _volts(supply: Supply) -> float:
    return supply.volts_LN if supply.lines == 1 or supply.volts_LL is None else supply.volts_LL


def _ambient(degrees: float) -> float | None:
    """The factor of the table's next warmer row; None above the table. Colder than its first row gains nothing more."""
    return next((factor for row, factor in AMBIENT.items() if degrees <= row + 1e-9), None)
