"""The usual list of what has to be settled first: data/checklist.toml."""

from __future__ import annotations

from functools import cache
from importlib.resources import files

from flatstock.starting.outlay.question import Check

__all__ = ["usual"]


@cache
def usual() -> tuple[Check, ...]:
    """The lines that a workshop usually needs, nobody's yet."""
    import toml_rs

    data = toml_rs.loads((files("flatstock.starting") / "data" / "checklist.toml").read_text("utf-8"))
    return tuple(
        Check(
            id=one["id"], what=one["what"], owner=None, date=None, evidence=None, before=one["before"],
            done=False, defer_to=one["defer_to"],
        )
        for one in data["checks"]
    )  # fmt: skip
