"""What is weighed in: released, enough of it, and summing to the charge."""

from __future__ import annotations

from collections.abc import Iterator

from flatstock.planning.check.document import Plan
from flatstock.planning.check.finding import Finding

__all__ = ["lots"]

_GRAM = 1e-3


def lots(plan: Plan) -> Iterator[Finding]:
    """Charges that don't add up, lots on hold, lots drawn beyond what there is."""
    taken: dict[str, float] = {}
    for sheet in plan.sheets.values():
        total = sum(mass for _, mass in sheet.lots)
        if abs(total - sheet.charge) > _GRAM:
            what = f"its lots weigh {total:.3f} kg, charge_kg is {sheet.charge:.3f}"
            yield Finding(sheet.id, what, "the charge is the sum of its lots", "charge")
        for lot, mass in sheet.lots:
            taken[lot] = taken.get(lot, 0.0) + mass
            status, _ = plan.lots.get(lot, ("released", 0.0))
            if status != "released":
                what = f"lot {lot} is {status}"
                yield Finding(sheet.id, what, "only a released lot is pressed", "released")
    for lot, mass in sorted(taken.items()):
        if lot in plan.lots and mass > plan.lots[lot][1] + _GRAM:
            what = f"{mass:.3f} kg are drawn, {plan.lots[lot][1]:.3f} kg are there"
            yield Finding(f"lot {lot}", what, "not beyond its mass", "lot_mass")
