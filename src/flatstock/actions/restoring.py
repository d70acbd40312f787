"""Whether a copy of records goes into a folder as it stands, and what of the folder makes room for it."""

from __future__ import annotations

import tomllib
from collections.abc import Iterable, Mapping
from pathlib import Path

from flatstock.actions.living import DAYS, bytes_of, free_name
from flatstock.errors import Fault, Refused
from flatstock.records.address import FILE
from flatstock.workshop.folder import not_written
from flatstock.workshop.written import FILES

__all__ = ["made_room", "must_go_together"]

SHOP = "shop.toml"


def must_go_together(copy: Path, folder: Path) -> None:
    """Raises `Refused` where a folder is another workshop's than the copy, or its files say something else."""
    faults = [Fault(str(folder), what, "") for what in _against(copy, folder)]
    if faults:
        instead = (
            "nothing was done: restore into a new folder, or write --put-aside, and what stands there is kept under"
            " other names"
        )
        raise Refused([*faults[:-1], Fault(faults[-1].where, faults[-1].what, instead)])


def made_room(copy: Path, folder: Path, beside: Iterable[str]) -> list[tuple[Path, Path]]:
    """Put aside each file of a folder that says something else than a copy; of another workshop's those named as well.

    Where each stood, and where it is now. Raises `Refused` where one can't be moved.
    """
    from flatstock.records.kept_in import kept_in

    held = kept_in(copy)
    other = _otherwise(held.files if held else {}, folder)
    if _another(copy, folder):
        other += [name for name in beside if (folder / name).exists()]
    moved = []
    for name in other:
        path, aside = folder / name, free_name(folder / f"{name}.put-aside")
        try:
            path.replace(aside)
        except OSError as error:
            raise not_written(path, error) from None
        moved.append((path, aside))
    return moved


def _against(copy: Path, folder: Path) -> list[str]:
    from flatstock.records.kept_in import kept_in

    held = kept_in(copy)
    another = _another(copy, folder)
    other = _otherwise(held.files if held else {}, folder)
    if not other:
        return another
    say = "says" if len(other) == 1 else "say"
    return [*another, f"{' and '.join(other)} there {say} something else than the copy"]


def _another(copy: Path, folder: Path) -> list[str]:
    """What shows that a folder is another workshop's than a copy; empty where nothing does."""
    from flatstock.records.kept_in import kept_in

    held = kept_in(copy)
    there = kept_in(folder / FILE) if (folder / FILE).is_file() else None
    if held is None:
        return []
    found = []
    own = bytes_of(folder / SHOP) or (there.files.get(SHOP) if there else None)
    names = _name(held.files.get(SHOP)), _name(own)
    if None not in names and names[0] != names[1]:
        found.append(f"it is the folder of “{names[1]}”, and the copy is of “{names[0]}”")
    if there and None not in (held.first, there.first) and held.first != there.first:
        found.append(
            "its records begin with another entry than the copy's: they are another workshop's, or were begun anew"
        )
    return found


def _otherwise(held: Mapping[str, bytes], folder: Path) -> list[str]:
    """Files of the folder that say something else than those; none where the copy holds a floor's events alone."""
    if not held:
        return []
    there = {
        name: data for name in FILES if name not in DAYS and (data := bytes_of(folder / name)) is not None
    }
    return [name for name, data in there.items() if data != held.get(name)]


def _name(shop: bytes | None) -> str | None:
    try:
        name = tomllib.loads((shop or b"").decode("utf-8-sig")).get("name")
    except (UnicodeDecodeError, tomllib.TOMLDecodeError):
        return None
    return name if isinstance(name, str) else None
