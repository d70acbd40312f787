"""The correction of a charge in a terminal."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from flatstock.prints.numbers import number
from flatstock.prints.shown import Shown
from flatstock.prints.text.closing import closing
from flatstock.prints.text.layout import heading, table, title, wrapped
from flatstock.prints.words import plastic_name
from flatstock.units import System

__all__ = ["correct_text"]


def correct_text(document: Mapping[str, Any], system: System = "metric") -> str:
    """A `flatstock.correct/1` for people: what to weigh next, and where the mass went; in units of `system`."""
    shown = Shown(system, scale_step=document["scale_step_kg"])
    wanted = shown.size(document["thickness_mm"])
    name = f"{plastic_name(document['plastic'])} {wanted}"
    change = number(document["change_kg"]).value
    sign = "+" if change is not None and change > 0 else ""
    flash = document["flash_kg"]
    rows = [
        ("weighed", shown.mass(document["charge_kg"])),
        ("measured", f"{shown.one(document['measured_mm'], 'mm', 2)}, wanted {wanted}"),
        ("flash", "not weighed" if flash is None else shown.mass(flash)),
        ("change", sign + shown.mass_band(document["change_kg"])),
        ("sheet and flash less charge", shown.mass_band(document["balance_kg"])),
    ]
    lines = [
        *title(f"{name}: the next charge", str(document["shop"])),
        "",
        *wrapped(_next(document, shown), first="WEIGH NEXT  "),
        *heading("From"),
        *table(rows, "<<"),
        *heading("Advice"),
    ]
    for words in document["advice"]:
        lines += wrapped(shown.prose(str(words)), first="  ")
    return "\n".join([*lines, *closing(document, shown)]) + "\n"


def _next(document: Mapping[str, Any], shown: Shown) -> str:
    """What to weigh; also in kilograms where the scale counts in them and the shop reads pounds."""
    said, value = shown.mass_band(document["next_charge_kg"]), number(document["next_charge_kg"]).value
    metric = Shown(scale_step=shown.scale_step)
    return f"{said}; {metric.mass(value)} on the scale" if shown.two_scales else said
