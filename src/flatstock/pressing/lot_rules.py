"""The rules that a lot is held to, the same by every door: its card, what is offered in its place, the floor."""

from __future__ import annotations

from flatstock.errors import Fault
from flatstock.plastics.model import Plastic
from flatstock.plastics.safety import check_pressable
from flatstock.pressing.ancestry import unfit_parents
from flatstock.workshop.shop import Lot, Workshop

__all__ = ["unfit_lot"]


def unfit_lot(
    shop: Workshop, plastic: Plastic | None, lot: Lot, *, where: str, breathing: bool | None = None
) -> list[Fault]:
    """Why nothing may be pressed from a lot, or from what it was made of; empty: nothing forbids it.

    `plastic`: None where nobody knows what it is. `breathing`: whether the press is opened to let gas out; None:
    its water is not looked at.
    """
    faults = check_pressable(
        plastic,
        None,
        lot.origin,
        lot.status,
        form=lot.form,
        lot=lot.id,
        bromine_free=lot.bromine_free,
        moisture=None if breathing is None else lot.moisture,
        breathing=bool(breathing),
        strangers=lot.strangers,
        colour=lot.colour,
        where=where,
    )
    # a held lot gets round no rule through the shredder
    return faults if plastic is None else faults + unfit_parents(shop, plastic, lot, where=where)
