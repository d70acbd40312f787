"""The shop's own values of plastics, and what may not be pressed: checked against the plastics room."""

from __future__ import annotations

from collections.abc import Mapping

from flatstock.evidence import Value
from flatstock.plastics.library import IDS, library
from flatstock.plastics.pairs import pair
from flatstock.plastics.safety import check_pressable, never_pressed
from flatstock.units import from_si
from flatstock.workshop import layouts
from flatstock.workshop.row import Row
from flatstock.workshop.spots import Notes

__all__ = ["check_plastics", "merged_keys"]

_SOURCE = "plastics.toml of this workshop"


def merged_keys(plastics: Mapping[str, Row]) -> dict[str, dict[str, object]]:
    """What plastics.toml says, by plastic and key, for `plastics` to merge: numbers in the unit of their key."""
    return {name: _keys(row) for name, row in plastics.items()}


def check_plastics(plastics: Mapping[str, Row], lists: Mapping[str, list[Row]], notes: Notes) -> None:
    """Note set-points above their limit, plastics without what safety asks for, orders that can't be pressed."""
    for name, row in plastics.items():
        _highest(name, row, notes)
        _curves(row, notes)
    for order in lists["orders"]:
        _order(order, plastics, notes)
    lots = {row.text("id"): row for row in lists["lots"]}
    for lot in lists["lots"]:
        _strangers(lot, notes)
    for order in lists["orders"]:
        _recipe(order, lots, notes)


def _keys(row: Row) -> dict[str, object]:
    table = layouts.PLASTICS.table.fields[0].table
    assert table is not None
    found: dict[str, object] = {}
    for field in table.fields:
        if field.name == "kind":
            continue
        value = row.values.get(field.key)
        if isinstance(value, Value) and field.unit is not None:
            number, low, high = (
                from_si(x, field.dimension, field.unit) for x in (value.value, value.low, value.high)
            )
            found[field.name] = _evidence(value, number, low, high)
        elif isinstance(value, Value):
            found[field.name] = _evidence(value, value.value, value.low, value.high)
        elif isinstance(value, float) and field.unit is not None:
            found[field.name] = from_si(value, field.dimension, field.unit)
        elif value is not None:
            found[field.name] = value
    return found


def _evidence(value: Value, number: float, low: float, high: float) -> dict[str, object]:
    source = _SOURCE if value.source == layouts.PLASTICS.file else value.source
    # converting there and back may leave the last bit of the typical value outside its own band
    low, high = min(low, number), max(high, number)
    return {"value": number, "low": low, "high": high, "kind": value.kind, "source": source}


def _highest(name: str, row: Row, notes: Notes) -> None:
    base = name if name in IDS else row.text("base").lower()
    process = library()[base].process if base in IDS else None
    limit = process.highest_set_point.value if process and process.highest_set_point else None
    own = row.maybe("highest_set_point")
    if name not in IDS:
        if entry := next(
            (e for said in (name, row.text("name")) if said and (e := never_pressed(said))), None
        ):
            notes.fault(
                row.file, row.line, row.path, f"{name} is never pressed: {entry.reason}", "leave it out"
            )
        for key, stem in (("highest_set_point_C", "highest_set_point"), ("fume", "fume")):
            if not row.has(stem) and stem not in row.lines:
                notes.fault(row.file, row.line, f"{row.path}.{key}", "required, and missing",
                            "a plastic of the shop's own needs it, from its data sheet")  # fmt: skip
    if own is not None and limit is not None and own > limit:
        notes.fault(*row.at("highest_set_point"), f"{own:g} °C is above {limit:g} °C, the limit of {base}",
                    f"write {limit:g} °C or less; nothing raises a plastic's limit")  # fmt: skip
    lowest = min((x for x in (own, limit) if x is not None), default=None)
    asked = row.maybe("set_point")
    if asked is not None and lowest is not None and asked > lowest:
        notes.fault(*row.at("set_point"), f"{asked:g} °C is hotter than {row.path} allows",
                    f"stay at or below {lowest:g} °C and press longer")  # fmt: skip


def _curves(row: Row, notes: Notes) -> None:
    """Melting before its end, freezing the other way round, freezing never above melting."""
    for low, high in (("melting_onset", "melting_end"), ("freezing_end", "freezing_onset"),
                      ("freezing_end", "melting_onset"), ("freezing_onset", "melting_end"),
                      ("demould_below", "open_below"), ("melting_end", "melt_target"), ("melt_target", "set_point")):  # fmt: skip
        a, b = row.maybe(low), row.maybe(high)
        if a is not None and b is not None and a > b:
            file, line, path = row.at(low)
            other = row.written.get(high, high)
            notes.fault(file, line, path, f"{a:g} °C is above {other} ({b:g} °C)", "it must be the lower one")


def _order(order: Row, plastics: Mapping[str, Row], notes: Notes) -> None:
    name = order.text("plastic").lower()
    if not name or (name in plastics and name not in IDS):
        return
    if name in IDS:
        for fault in check_pressable(library()[name], None, None, None):
            notes.fault(*order.at("plastic"), fault.what, fault.instead)
    elif entry := never_pressed(name):
        notes.fault(
            *order.at("plastic"), f"{order.text('plastic')} is never pressed: {entry.reason}", "leave it out"
        )


def _strangers(lot: Row, notes: Notes) -> None:
    host = lot.text("plastic").lower()
    for name, share in lot.shares("strangers").items():
        rule = pair(host, name)
        if host and share > rule.share_max:
            notes.warn(
                *lot.at("strangers"),
                f"{share:.2%} {name} in {host}, at most {rule.share_max:.2%}: {rule.reason}",
            )


def _recipe(order: Row, lots: Mapping[str, Row], notes: Notes) -> None:
    host = order.text("plastic").lower()
    for name, share in order.shares("lots").items():
        lot = lots.get(name)
        if lot is None or not host:
            continue
        guest = lot.text("plastic").lower()
        if guest and guest != host and share > pair(host, guest).share_max:
            notes.fault(*order.at("lots"), f"{name} is {guest}, the order is {host}: {pair(host, guest).reason}",
                        f"at most {pair(host, guest).share_max:.1%} of it")  # fmt: skip
        if lot.text("status") not in ("released", ""):
            notes.warn(*order.at("lots"), f"{name} is {lot.text('status')}; only released lots are pressed.")
