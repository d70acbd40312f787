"""How a supply is said, in a terminal and on paper."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import Any

from flatstock.prints.numbers import plain

__all__ = [
    "CABLE_WORDS",
    "LEAKAGE_WORDS",
    "START_WORDS",
    "VERDICT_WORDS",
    "amps",
    "connection_words",
    "hangs",
    "sum_rows",
    "verdict_words",
]

Document = Mapping[str, Any]
VERDICT_WORDS = {
    "fits": "No phase is over its rating, magnitudes added.",
    "only_by_phase_angle": "NO: it fits only by phase angle; the sum of magnitudes, which decides, is over.",
    "over": "NO: over the rating.",
}
START_WORDS = {"holds": "holds", "may_trip": "MAY TRIP", "unknown": "see the fuse's curve"}
CABLE_WORDS = {
    "fits": "thick enough by the table",
    "too_thin": "TOO THIN by the table",
    "drops_too_much": "DROPS TOO MUCH",
    "unknown": "not judged",
}
LEAKAGE_WORDS = {
    "fits": "within what the device lets stand",
    "may_trip": "MAY TRIP, most of all in the first heat-up after a damp store",
    "unknown": "no residual device on file",
}


def connection_words(supply: Document) -> str:
    """The connection in one line.

    >>> connection_words({"phases": 3, "volts_LL": 400, "volts_LN": 230, "rated_A": 40, "characteristic": "C",
    ...                   "kind": "grid", "generator_kVA": None})
    'three phases, 400/230 V, 3 x 40 A, type C'
    """
    three = supply["phases"] == 3
    between = supply["volts_LL"]
    volts = f"{plain(between)}/{plain(supply['volts_LN'])} V" if between else f"{plain(supply['volts_LN'])} V"
    device = "fuse" if supply["characteristic"] == "fuse" else f"type {supply['characteristic']}"
    generator = ""
    if supply["kind"] == "generator":
        kVA = supply["generator_kVA"]
        generator = ", generator" + (f" of {plain(kVA)} kVA" if kVA else "")
    lines = f"three phases, {volts}, 3 x" if three else f"one phase, {volts},"
    return f"{lines} {plain(supply['rated_A'])} A, {device}{generator}"


def verdict_words(document: Document) -> str:
    """The verdict, with the phases that are over and by how much."""
    over = ", ".join(f"L{one['phase']} by {one['by_A']:.1f} A" for one in document["over"])
    return VERDICT_WORDS[document["verdict"]] + (f" Over: {over}." if over else "")


def amps(values: Sequence[float]) -> str:
    """Amperes of each line.

    >>> amps([41.0435, 41.0435, 38.3433])
    '41.0 / 41.0 / 38.3'
    """
    return " / ".join(f"{one:.1f}" for one in values)


def hangs(load: Document, lines: int) -> str:
    """What a load hangs on; `lines` the supply has."""
    if load["connection"] == "3P":
        return "three phases"
    at = load["phase"] or 1
    return f"L{at}-N" if load["connection"] == "LN" else f"L{at}-L{at % lines + 1}"


def sum_rows(worst: Document, state: str) -> list[tuple[str, str]]:
    """The sums under the loads: words, and the field of `worst`; the counted one where it is another."""
    rows = [
        (state, "arithmetic_A"),
        ("as phasors", "phasor_A"),
        ("phasors, volts +10 %", "at_high_voltage_A"),
    ]
    if worst["held_against_rating_A"] != worst["arithmetic_A"]:
        rows.insert(1, ("held against the rating", "held_against_rating_A"))
    return rows
