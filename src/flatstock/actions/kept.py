"""The plan that is kept in a workshop's folder."""

from __future__ import annotations

import json
from collections.abc import Mapping
from pathlib import Path
from typing import Any

from flatstock.errors import Fault, Refused

__all__ = ["kept_plan"]

Document = Mapping[str, Any]
FILE = "plan.json"


def kept_plan(folder: Path) -> Document | None:
    """The `flatstock.plan/1` of the folder; None where there is none.

    Raises
    ------
    Refused
        plan.json is something else.
    """
    path = folder / FILE
    try:
        found = json.loads(path.read_text("utf-8"))
    except FileNotFoundError:
        return None
    except (OSError, ValueError) as error:
        raise Refused(Fault(FILE, f"can't be read ({error})", "plan the week again")) from None
    if not isinstance(found, dict) or found.get("format") != "flatstock.plan/1":
        raise Refused(Fault(FILE, "is no flatstock.plan/1", "plan the week again"))
    return found
