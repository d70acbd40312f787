"""The correction of a charge in a terminal."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from flatstock.prints.numbers import decimals_of, number, plain, with_band
from flatstock.prints.text.closing import closing
from flatstock.prints.text.layout import heading, table, title, wrapped
from flatstock.prints.words import plastic_name

__all__ = ["correct_text"]


def correct_text(document: Mapping[str, Any]) -> str:
    """A `flatstock.correct/1` for people: what to weigh next, and where the mass went."""
    kg = decimals_of(document["scale_step_kg"])
    name = f"{plastic_name(document['plastic'])} {document['thickness_mm']:g} mm"
    change = number(document["change_kg"]).value
    sign = "+" if change is not None and change > 0 else ""
    flash = document["flash_kg"]
    rows = [
        ("weighed", f"{plain(document['charge_kg'], kg)} kg"),
        ("measured", f"{plain(document['measured_mm'], 2)} mm, wanted {document['thickness_mm']:g} mm"),
        ("flash", "not weighed" if flash is None else f"{plain(flash, kg)} kg"),
        ("change", sign + with_band(document["change_kg"], "kg", kg)),
        ("sheet and flash less charge", with_band(document["balance_kg"], "kg", kg)),
    ]
    lines = [
        *title(f"{name}: the next charge", str(document["shop"])),
        "",
        *wrapped(with_band(document["next_charge_kg"], "kg", kg), first="WEIGH NEXT  "),
        *heading("From"),
        *table(rows, "<<"),
        *heading("Advice"),
    ]
    for words in document["advice"]:
        lines += wrapped(str(words), first="  ")
    return "\n".join([*lines, *closing(document)]) + "\n"
