"""A workshop's own values over the library's: `plastics.toml` of a workshop, table by table.

A number stays the workshop's in every answer (source "plastics.toml of this workshop"). What is never
pressed and a plastic's highest set-point are not open to it (`plastics.safety`).
"""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import replace
from difflib import get_close_matches

from flatstock.errors import Fault, UserError
from flatstock.evidence import Value
from flatstock.plastics.library import Shelf
from flatstock.plastics.merge import Own, merged, new_plastic
from flatstock.plastics.model import Plastic
from flatstock.plastics.naming import SHORT, find, meant_by
from flatstock.plastics.override_keys import KEYS, TEXT_KEYS, EntryError, read_entry
from flatstock.plastics.safety import never_pressed

__all__ = ["override_faults", "with_overrides"]

Where = Callable[[str, str], str]
_ONLY_OWN = ("highest_set_point_C", "fume", "name", "family", "symbol", "base")
LIKE = 0.7  #: how alike the name of a plastic must be to be taken for one on file: `hpde`, not `hdpe_pipe`
_NEEDED = ("highest_set_point_C", "fume")
_NEEDED_WITHOUT_BASE = ("density_kg_m3", "shrinkage_percent")


def _place(plastic: str, key: str) -> str:
    return f"plastics.toml, {plastic}.{key}" if key else f"plastics.toml, {plastic}"


def with_overrides(
    library: Mapping[str, Plastic],
    overrides: Mapping[str, Mapping[str, object]],
    *,
    where: Where = _place,
) -> Mapping[str, Plastic]:
    """The plastics of `library` with a workshop's own values and own plastics merged in.

    `overrides` is plastic id to table; the keys are those of `override_keys.KEYS` and `TEXT_KEYS`.
    Each value is a number, `[low, typical, high]`, or a table with `value` and, if wanted, `low`,
    `high`, `kind`, `source` and `note`. `where` turns a plastic and a key into the place shown.

    Raises
    ------
    UserError
        With one fault for each thing that is wrong.
    """
    shelf, faults = _merge(library, overrides, where)
    if faults:
        raise UserError(faults)
    return shelf


def override_faults(
    library: Mapping[str, Plastic],
    overrides: Mapping[str, Mapping[str, object]],
    *,
    where: Where = _place,
) -> list[Fault]:
    """Everything wrong with `overrides`; empty when `with_overrides` takes them."""
    return _merge(library, overrides, where)[1]


def _merge(
    library: Mapping[str, Plastic], overrides: Mapping[str, Mapping[str, object]], where: Where
) -> tuple[Shelf, list[Fault]]:
    makers: dict[str, Callable[[], Plastic]] = {name: _later(library, name) for name in library}
    faults: list[Fault] = []
    for given, table in overrides.items():
        name = given.strip().lower()
        try:
            plastic = _one(library, given, table, where)
        except UserError as error:
            faults.extend(error.faults)
            continue
        makers[name] = _fixed(plastic)
    return Shelf(makers), faults


def _later(library: Mapping[str, Plastic], name: str) -> Callable[[], Plastic]:
    return lambda: library[name]


def _fixed(plastic: Plastic) -> Callable[[], Plastic]:
    return lambda: plastic


def _one(library: Mapping[str, Plastic], name: str, table: Mapping[str, object], where: Where) -> Plastic:
    known = library.get(name.strip().lower())
    if known is not None:
        _refuse_keys_of_own_plastics(name, known, table, where)
    own = _read(name, table, where)
    if known is not None:
        return merged(known, own, lambda key: where(name, key))
    return _new(library, name.strip().lower(), table, own, where)


def _read(name: str, table: Mapping[str, object], where: Where) -> Own:
    if not isinstance(table, Mapping):
        raise UserError(
            Fault(where=where(name, ""), what="this is no table", instead=f"write [{name}] and keys below")
        )
    faults: list[Fault] = []
    values: dict[str, Value] = {}
    texts: dict[str, str] = {}
    for key, entry in table.items():
        place = where(name, key)
        if key in KEYS:
            try:
                values[key] = read_entry(key, entry)
            except EntryError as error:
                faults.append(Fault(where=place, what=error.what, instead=error.instead))
        elif key in TEXT_KEYS:
            if isinstance(entry, str) and entry.strip():
                texts[key] = entry.strip()
            else:
                faults.append(Fault(where=place, what=f"{entry!r} is no text", instead="write it in quotes"))
        else:
            every = [*KEYS, *TEXT_KEYS]
            near = " or ".join(get_close_matches(key, every, n=2))
            faults.append(
                Fault(
                    where=place,
                    what=f"there is no key {key!r}",
                    instead=f"did you mean {near}" if near else "docs/plastics.md lists the keys",
                )
            )
    if faults:
        raise UserError(faults)
    return Own(values=values, texts=texts)


def _refuse_keys_of_own_plastics(
    name: str, known: Plastic, table: Mapping[str, object], where: Where
) -> None:
    faults = []
    for key in _ONLY_OWN:
        if key not in table:
            continue
        if key == "highest_set_point_C":
            limit = known.process.highest_set_point if known.process else None
            stays = f" of {limit.value:g} °C" if limit else ""
            what, instead = (
                f"the highest set-point{stays} cannot be replaced",
                "press at set_point_C below it",
            )
        else:
            what, instead = f"{key!r} of a plastic on file cannot be replaced", "leave it out"
        faults.append(Fault(where=where(name, key), what=what, instead=instead))
    if faults:
        raise UserError(faults)


def _new(
    library: Mapping[str, Plastic], name: str, table: Mapping[str, object], own: Own, where: Where
) -> Plastic:
    base = find(own.texts["base"], library, where=where(name, "base")) if "base" in own.texts else None
    needed = _NEEDED if base is not None else _NEEDED + _NEEDED_WITHOUT_BASE
    missing = [key for key in needed if key not in table]
    said = " ".join([name, *(own.texts.get(key, "") for key in ("name", "family", "symbol"))])
    reason = never_pressed(said)
    if reason is not None:
        raise UserError(
            Fault(
                where=where(name, ""),
                what=f"{name!r} counts as {reason.what}, never pressed: {reason.reason}",
                instead=f"remove it; decides: {reason.defer_to}",
            )
        )
    meant = meant_by(name, library)
    if base is None and missing and (on_file := meant or _alike(library, name)):
        listed = " or ".join(plastic.id for plastic in on_file)
        nearest = f"there is no plastic {name!r} on file; the nearest is {listed}"
        raise UserError(
            Fault(
                where=where(name, ""),
                what=f"{name!r} is another name of {listed}" if meant else nearest,
                instead=f"write {' or '.join(f'[{plastic.id}]' for plastic in on_file)},"
                f" or give a plastic of your own a base, {' and '.join(_NEEDED)}",
            )
        )
    faults = []
    if missing:
        keys = ", ".join(missing[:-1]) + " and " * (len(missing) > 1) + missing[-1]
        faults.append(
            Fault(
                where=where(name, ""),
                what=f"{name!r} is not in the library, so it needs {keys}",
                instead="take what is missing from the supplier's data sheet or safety data sheet",
            )
        )
    if base is not None and base.never_pressed:
        faults.append(
            Fault(
                where=where(name, "base"),
                what=f"{base.name} is never pressed: {base.never_pressed}",
                instead="remove it",
            )
        )
    faults += _hotter_than_its_kin(library, name, meant if base is None else [base], own, where)
    if faults:
        raise UserError(faults)
    return replace(new_plastic(name, base, own, lambda key: where(name, key)), own=True)


def _alike(library: Mapping[str, Plastic], name: str) -> list[Plastic]:
    """The plastic whose name a misspelt one comes near; of short names any two look alike."""
    near = get_close_matches(name, library, n=1, cutoff=LIKE) if len(name) > SHORT else []
    return [library[one] for one in near]


def _hotter_than_its_kin(
    library: Mapping[str, Plastic], name: str, kin: list[Plastic], own: Own, where: Where
) -> list[Fault]:
    """A plastic on file under another name keeps the limit of the plastic on file."""
    declared = own.values.get("highest_set_point_C")
    symbol = own.texts.get("symbol", "").lower()
    kin = kin or [p for p in library.values() if symbol and p.symbol.lower() == symbol]
    limits = [p.process.highest_set_point.value for p in kin if p.process and p.process.highest_set_point]
    if declared is None or not limits or declared.value <= max(limits):
        return []
    return [
        Fault(
            where=where(name, "highest_set_point_C"),
            what=f"{declared.value:g} °C is above {max(limits):g} °C, the highest set-point of {kin[0].name}",
            instead=f"declare {max(limits):g} or less",
        )
    ]
