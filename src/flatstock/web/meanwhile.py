"""A form that stood open while the shop went on: only what was changed in it is written."""

from __future__ import annotations

import json
from collections.abc import Mapping

from flatstock.errors import Fault, Refused
from flatstock.web.guesses import bare

__all__ = ["TITLE", "as_shown", "only_changed"]

TITLE = "_title"  #: what the form was opened for, beside its fields


def as_shown(title: str, values: Mapping[str, str]) -> str:
    """What a form shows when it is opened, to come back with it."""
    return json.dumps({TITLE: title} | {name: bare(text) for name, text in values.items()})


def only_changed(
    said: Mapping[str, str], shown: str, title: str, now: Mapping[str, str]
) -> tuple[dict[str, str], tuple[Fault, ...]]:
    """What a form says, with what nobody touched as it stands now; and what was changed in it and meanwhile too.

    As it is where it doesn't say what it showed. Raises `Refused` where another thing stands in its place by now.

    >>> now = {"status": "quarantine", "mass_kg": "288"}
    >>> shown = as_shown("L-1", {"status": "released", "mass_kg": "300", "colour": "dark"})
    >>> said = {"status": "released", "mass_kg": "300", "colour": "red"}
    >>> only_changed(said, shown, "L-1", now | {"colour": "dark"})[0]
    {'status': 'quarantine', 'mass_kg': '288', 'colour': 'red'}
    """
    try:
        was = json.loads(shown)
    except (ValueError, RecursionError):
        return dict(said), ()
    if not isinstance(was, dict):
        return dict(said), ()
    if was.get(TITLE) != title:
        what = f"{was.get(TITLE)} no longer stands here: somebody has changed the list meanwhile"
        raise Refused(Fault("", what, "open it again from the list"))
    found, faults = {}, []
    for name, text in said.items():
        before, after = str(was.get(name, "")), bare(now.get(name, ""))
        if _same(text, before):
            found[name] = after
            continue
        found[name] = text
        if not _same(before, after) and not _same(text, after):
            what = f"it has become {after or 'empty'} since this page showed {before or 'nothing'}"
            faults.append(Fault(name, what, "look whether your number still holds, and write it again"))
    return found, tuple(faults)


def _same(one: str, other: str) -> bool:
    return one.replace("\r\n", "\n").strip() == other.replace("\r\n", "\n").strip()
