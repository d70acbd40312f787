"""What stands on a lot's label, and in its QR: enough to be useful without a server."""

from __future__ import annotations

from datetime import datetime
from typing import Any

from flatstock.actions.lot_state import held_through
from flatstock.actions.wet_flake import is_wet
from flatstock.errors import Fault, Refused
from flatstock.plastics.library import library
from flatstock.plastics.overrides import with_overrides
from flatstock.prints.words import plastic_name
from flatstock.workshop.shop import Lot, Workshop

__all__ = ["lot_label", "lots_to_label"]

Document = dict[str, Any]
HELD = {"received": "can't be weighed", "quarantine": "can't be weighed", "blocked": "must not be pressed"}


def lot_label(shop: Workshop, name: str, *, now: datetime, address: str = "") -> Document:
    """One lot's label; `address`: where other devices find the app. Raises `Refused` where there is no such lot."""
    lot = shop.lots.get(name)
    if lot is None:
        known = ", ".join(sorted(shop.lots)) or "none"
        raise Refused(Fault("lot", f"no lot is called {name!r}", f"there are {known}"))
    plastic = with_overrides(library(), shop.plastic_overrides).get(lot.plastic)
    through = held_through(shop, lot)
    found: Document = {
        "lot": lot.id,
        "plastic": lot.plastic,
        "marking": f">{plastic.symbol}<" if plastic is not None else "",
        "colour": lot.colour,
        "form": lot.form,
        "origin": lot.origin.replace("_", " "),
        "parents": list(lot.parents),
        "status": "held" if through else lot.status,
        "held": through or HELD.get(lot.status, ""),
        "mass_kg": lot.mass,
        "on": now.date().isoformat(),
        "known": _known(lot),
        "shop": shop.name,
    }
    found["text"] = _text(found, address)
    return found


def lots_to_label(shop: Workshop) -> list[str]:
    """Lots of which something is left, by id."""
    return sorted(lot.id for lot in shop.lots.values() if lot.status != "empty" and lot.mass > 0)


def _known(lot: Lot) -> str:
    said = [f"{plastic_name(plastic)} {100 * share:g} %" for plastic, share in lot.strangers.items()]
    if lot.moisture is not None:
        said.append(f"water {100 * lot.moisture:g} %")
    if lot.dry_first or is_wet(lot.moisture):
        said.append("dry before use")
    return ", ".join(said)


def _text(label: Document, address: str) -> str:
    """What the QR holds.

    The state is told with its date: whoever reads it without a server can't know of a later hold.
    """
    lines = [
        label["lot"],
        " ".join(filter(None, (label["marking"], label["colour"], label["form"]))),
        f"origin {label['origin']}, {label['shop']}",
        f"{label['status']}, {label['mass_kg']:g} kg on {label['on']}",
    ]
    if label["parents"]:
        lines.append("made from " + ", ".join(label["parents"]))
    if address:
        lines.append(f"{address}/store/lot/{label['lot']}")
    return "\n".join(lines)
