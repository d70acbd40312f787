"""`flatstock read`: a workshop's files, and every fault in them at once."""

from __future__ import annotations

from flatstock.cli import show
from flatstock.cli.options import Folder, Json, Now

__all__ = ["read"]


def read(folder: Folder, /, *, json: Json = False, now: Now = None) -> int:
    """Read a workshop's files and report every fault in them at once; nothing is written."""
    from flatstock.actions.workshops import read_workshop, units_of
    from flatstock.cli.opening import check_now

    check_now(now)
    show.in_units_of(folder)
    found = read_workshop(folder)
    if found.faults:
        show.refusal(found.faults, as_json=json, warnings=found.document["warnings"])
        if not json:
            count = len(found.faults)
            show.aside(f"{count} fault{'s' if count > 1 else ''} in {folder}; nothing was changed.")
        return 1
    if json:
        show.document(found.document)
    else:
        from flatstock.prints.shown import Shown
        from flatstock.prints.text import read_text

        show.text(read_text(found.document, Shown(units_of(folder))))
    return 0
