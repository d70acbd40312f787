"""Which tests a lot's origin, colour and form ask for before it can be released."""

from __future__ import annotations

import re
import tomllib
from collections.abc import Collection
from dataclasses import dataclass
from functools import cache
from pathlib import Path
from typing import Any

__all__ = ["Required", "missing_tests", "required_tests"]


@dataclass(frozen=True, slots=True, kw_only=True)
class Required:
    """A test, and why."""

    test: str
    words: str
    because: str


@cache
def _data() -> dict[str, Any]:
    return tomllib.loads((Path(__file__).parent / "data" / "origins.toml").read_text("utf-8"))


def required_tests(origin: str, *, colour: str | None = None, form: str = "") -> tuple[Required, ...]:
    """What must be known of such a lot; an origin that is not on the list counts as unknown.

    >>> [one.test for one in required_tests("virgin")]
    ['paper', 'moisture']
    """
    data = _data()
    known = origin.strip().lower().replace(" ", "_")
    key = known if known in data["origin"] else "unknown"
    electrical = "electr" in known or "weee" in known
    if electrical:
        key = "electrical"
    found = dict.fromkeys(data["origin"][key]["tests"], f"origin: {origin or 'unknown'}")
    words = set(re.split(r"[^a-z]+", f"{colour or ''} {form}".lower()))
    for word, adds in data["adds"].items():
        if word in words and key not in adds["unless_origin"]:
            for test in adds["tests"]:
                found.setdefault(test, f"{word}, and not known to come from packaging")
    return tuple(Required(test=test, words=data["tests"][test], because=why) for test, why in found.items())


def missing_tests(
    origin: str, *, done: Collection[str], colour: str | None = None, form: str = ""
) -> tuple[Required, ...]:
    """What is still to be tested."""
    return tuple(one for one in required_tests(origin, colour=colour, form=form) if one.test not in done)
