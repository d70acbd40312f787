"""How recycled a sheet, or all sheets of an order, are: by mass as weighed, with the rule and the lots behind it."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from typing import Any

from flatstock.documents import rounded, why
from flatstock.evidence import Value
from flatstock.records.recycled import RULE, Origin, class_of, content_of
from flatstock.workshop.shop import Workshop

__all__ = ["CLASSES", "recycled_content", "sum_of_lots"]

Document = dict[str, Any]
#: classes in the order in which they are told, with their words
CLASSES: Mapping[Origin, str] = {
    "post_consumer": "post-consumer",
    "pre_consumer": "pre-consumer, bought in",
    "own_regrind": "own regrind: counts as nothing",
    "virgin": "virgin",
    "unknown": "of unknown origin: counts as not recycled",
}
PAGE = "docs/app.md"


def recycled_content(lots: Mapping[str, float], shop: Workshop) -> Document | None:
    """Of masses by lot [kg]; None where nothing was weighed. A lot that is no longer on file is of unknown origin."""
    if not lots or sum(lots.values()) <= 0:
        return None
    origins = {name: shop.lots[name].origin if name in shop.lots else "unknown" for name in lots}
    by_origin: dict[str, float] = {}
    for name, mass in lots.items():
        by_origin[origins[name]] = by_origin.get(origins[name], 0.0) + mass
    content = content_of(by_origin)
    whole = sum(lots.values())
    inputs = [
        (CLASSES[one], Value.sure(content.masses[one], kind="measured", source="as weighed"), 1.0, "kg")
        for one in CLASSES
        if one in content.masses
    ]
    formula = "(post-consumer + pre-consumer) / whole mass as weighed"
    reasons = [why("recycled_percent", formula, inputs, PAGE, note=RULE, title="Recycled content")]
    if content.masses.get("own_regrind"):
        other = (
            "(post-consumer + pre-consumer) / (whole mass - own regrind): a composition, not a declaration"
        )
        title = "With own regrind left out"
        reasons.append(why("without_regrind_percent", other, inputs, PAGE, note=RULE, title=title))
    return {
        "recycled_percent": _percent(content.declared),
        "post_consumer_percent": rounded(100 * content.masses.get("post_consumer", 0.0) / whole),
        "without_regrind_percent": _percent(content.without_regrind)
        if content.masses.get("own_regrind")
        else None,
        "rule": RULE,
        "lots": [
            {
                "lot": name,
                "mass_kg": rounded(mass),
                "origin": origins[name].replace("_", " "),
                "counts_as": CLASSES[class_of(origins[name])],
                "evidence": shop.lots[name].note if name in shop.lots else "no longer on file",
                "parents": list(shop.lots[name].parents) if name in shop.lots else [],
            }
            for name, mass in sorted(lots.items(), key=lambda one: -one[1])
        ],
        "mass_kg": rounded(whole),
        "why": reasons,
    }


def sum_of_lots(charges: Iterable[Mapping[str, float]]) -> dict[str, float]:
    """Masses by lot over several charges [kg]."""
    found: dict[str, float] = {}
    for charge in charges:
        for name, mass in charge.items():
            found[name] = found.get(name, 0.0) + mass
    return found


def _percent(share: float | None) -> float | None:
    return None if share is None else rounded(share * 100)
