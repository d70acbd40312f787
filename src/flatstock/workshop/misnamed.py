"""Files that stand in a workshop's folder under a name that is not read: told, never passed over."""

from __future__ import annotations

from difflib import get_close_matches
from pathlib import Path

from flatstock.workshop.layouts import NAMES, layout
from flatstock.workshop.spots import Notes

__all__ = ["note_misnamed"]

TABLES = (".csv", ".toml", ".txt", ".tsv", ".xls", ".xlsx", ".ods")
SHEETS = (".xls", ".xlsx", ".ods")
LIKE = 0.8  #: how alike two names must be: `lot` is meant for `lots`, `orders-2025` is not for `orders`


def note_misnamed(folder: Path, notes: Notes) -> None:
    """Note each file that is meant for one of the workshop's but isn't called so, and each link to nothing."""
    files = {Path(layout(name).file).stem: layout(name).file for name in NAMES}
    known = set(files.values()) | {Path(file).with_suffix(".toml").name for file in files.values()}
    for path in sorted(folder.iterdir()):
        if path.name in known:
            if path.is_symlink() and not path.exists():
                notes.fault(
                    path.name,
                    0,
                    "",
                    "it is a link to a file that is not there",
                    "mend the link, or remove it",
                )
            continue
        meant = get_close_matches(path.stem.lower(), list(files), n=1, cutoff=LIKE)
        if not meant or path.suffix.lower() not in TABLES or not path.is_file():
            continue
        right = files[meant[0]]
        if (folder / right).exists() or (folder / right).with_suffix(".toml").exists():
            continue  # a copy beside the one that is read
        how = "save it from the spreadsheet as" if path.suffix.lower() in SHEETS else "call it"
        notes.fault(path.name, 0, "", "a file of this name is not read", f"{how} {right}")
