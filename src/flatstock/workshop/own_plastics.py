"""The shop's own values of plastics, and what may not be pressed: asked of the plastics room."""

from __future__ import annotations

from collections.abc import Iterable, Mapping

from flatstock.evidence import Value
from flatstock.plastics.library import IDS, library
from flatstock.plastics.overrides import override_faults
from flatstock.plastics.pairs import pair_by_name
from flatstock.plastics.safety import check_pressable, never_pressed
from flatstock.units import from_si
from flatstock.workshop.layouts import layout, table_of
from flatstock.workshop.row import Row
from flatstock.workshop.spots import Notes

__all__ = ["check_plastics", "merged_keys"]

_SOURCE = "plastics.toml of this workshop"


def merged_keys(plastics: Mapping[str, Row]) -> dict[str, dict[str, object]]:
    """What plastics.toml says, by plastic and key, for `plastics.overrides`; in the unit of the key."""
    return {name: _keys(row) for name, row in plastics.items()}


def check_plastics(
    plastics: Mapping[str, Row], lists: Mapping[str, list[Row]], dwells: Iterable[Row], notes: Notes
) -> None:
    """Note what the plastics room refuses of plastics.toml, and orders and lots that don't go together.

    `dwells`: those of the shop's practice.
    """
    _overrides(plastics, notes)
    lots = {row.text("id"): row for row in lists["lots"]}
    known = frozenset(IDS) | plastics.keys()
    kin = {name: row.text("base").lower() or name for name, row in plastics.items()}
    for lot in lists["lots"]:
        _strangers(lot, kin, notes)
        _bulk(lot, plastics, kin, notes)
    for order in lists["orders"]:
        _never_pressed(order, plastics, "take the order out", notes)
        if order.text("plastic").lower() in known:
            _recipe(order, lots, kin, notes)
    for dwell in dwells:
        _never_pressed(dwell, plastics, "take the dwell out: nothing of it is pressed here", notes)


def _overrides(plastics: Mapping[str, Row], notes: Notes) -> None:
    lines: dict[str, int] = {}
    already = {fault.where for _, _, fault in notes.faults}

    def where(name: str, key: str) -> str:
        row = plastics[name]
        stem = next((f.key for f in table_of("plastics", "plastics").fields if f.name == key), key)
        line = row.lines.get(stem, row.line)
        path = f"{row.path}.{row.written.get(stem, key)}" if key else row.path
        place = f"{row.file} line {line}, {path}"
        lines[place] = line
        return place

    for fault in override_faults(library(), merged_keys(plastics), where=where):
        if fault.where not in already:  # a number that could not be read has its fault already
            notes.faults.append((layout("plastics").file, lines.get(fault.where, 0), fault))


def _keys(row: Row) -> dict[str, object]:
    found: dict[str, object] = {}
    for field in table_of("plastics", "plastics").fields:
        value = row.values.get(field.key)
        if field.name == "kind" or value is None:
            continue
        if isinstance(value, Value):
            found[field.name] = _evidence(value, field.dimension, field.unit)
        elif isinstance(value, float) and field.unit is not None:
            found[field.name] = from_si(value, field.dimension, field.unit)
        else:
            found[field.name] = value
    return found


def _evidence(value: Value, dimension: str, unit: str | None) -> dict[str, object]:
    numbers = (value.value, value.low, value.high)
    number, low, high = (from_si(x, dimension, unit) for x in numbers) if unit is not None else numbers
    source = _SOURCE if value.source == layout("plastics").file else value.source
    # converting there and back may leave the last bit of the typical value outside its own band
    low, high = min(low, number), max(high, number)
    found: dict[str, object] = {
        "value": number,
        "low": low,
        "high": high,
        "kind": value.kind,
        "source": source,
    }
    return {**found, "note": value.note} if value.note else found


def _never_pressed(row: Row, plastics: Mapping[str, Row], instead: str, notes: Notes) -> None:
    """A row that is about pressing what is never pressed."""
    name = row.text("plastic").lower()
    if not name or (name in plastics and name not in IDS):
        return
    if name in IDS:
        for fault in check_pressable(library()[name], None, None, None):
            notes.fault(*row.at("plastic"), fault.what, fault.instead)
    elif entry := never_pressed(name):
        notes.fault(*row.at("plastic"), f"{row.text('plastic')} is never pressed: {entry.reason}", instead)


def _bulk(lot: Row, plastics: Mapping[str, Row], kin: Mapping[str, str], notes: Notes) -> None:
    """Loose flake weighs less than its solid."""
    host, bulk = lot.text("plastic").lower(), lot.maybe("bulk_density")
    own, base = plastics.get(host), kin.get(host, host)
    solid = own.maybe("density") if own is not None else None
    if solid is None and base in IDS:
        solid = library()[base].density.value
    if bulk is not None and solid is not None and bulk >= solid:
        what = f"{bulk:g} kg/m3 of loose flake, where {host} without any air between has {solid:g} kg/m3"
        notes.fault(*lot.at("bulk_density"), what, "fill a bucket with flake and weigh it")


def _strangers(lot: Row, kin: Mapping[str, str], notes: Notes) -> None:
    host = lot.text("plastic").lower()
    for name, share in lot.shares("strangers").items():
        rule = pair_by_name(kin.get(host, host), kin.get(name.lower(), name), library())
        if host and share > rule.share_max:
            most = f"a charge may hold {rule.share_max:.2%}"
            notes.warn(*lot.at("strangers"), f"{share:.2%} {name} in {host}; {most}: {rule.reason}")


def _recipe(order: Row, lots: Mapping[str, Row], kin: Mapping[str, str], notes: Notes) -> None:
    """A plastic of the shop's own goes with others as the plastic it starts from."""
    host = order.text("plastic").lower()
    for name, share in order.shares("lots").items():
        lot = lots.get(name)
        if lot is None:
            continue
        guest = lot.text("plastic").lower()
        rule = pair_by_name(kin.get(host, host), kin.get(guest, guest), library())
        if guest and share > rule.share_max:
            what = f"{share:.1%} of {name}, which is {guest}, in a sheet of {host}: {rule.reason}"
            notes.fault(*order.at("lots"), what, f"at most {rule.share_max:.1%} of it")
        if lot.text("status") not in ("released", ""):
            text = f"{name} is {lot.text('status')}; only released lots are pressed."
            notes.warn(*order.at("lots"), text)
