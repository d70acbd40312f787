"""What a charge holds beside its plastic: other plastics against the pair rules, and lots that flow apart."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field

from flatstock.errors import Fault
from flatstock.plastics.model import Plastic
from flatstock.plastics.naming import meant_by
from flatstock.plastics.pairs import PairRule, pair_by_name
from flatstock.pressing.ancestry import inherited_strangers
from flatstock.workshop.shop import Lot, Workshop

__all__ = ["ISLANDS", "clean", "mixing_notes", "too_many_strangers"]

#: times: from this ratio of melt flow rates on the stiffer flakes stay visible (common practice)
ISLANDS = 10.0
SLACK = 1e-9


@dataclass(slots=True)
class _Together:
    """Everything in a charge that one pair rule is about."""

    rule: PairRule
    parts: dict[str, float] = field(default_factory=dict)  #: plastic to share of the charge

    @property
    def share(self) -> float:
        return sum(self.parts.values())

    @property
    def names(self) -> str:
        return " and ".join(name.upper() for name in self.parts)


def clean(known: Mapping[str, Plastic], shop: Workshop, plastic: Plastic, lot: Lot) -> bool:
    """Whether a charge of this lot alone keeps every pair rule."""
    return not too_many_strangers(known, shop, plastic, {lot.id: 1.0})


def too_many_strangers(
    known: Mapping[str, Plastic], shop: Workshop, plastic: Plastic, shares: Mapping[str, float]
) -> list[Fault]:
    """A fault for each pair rule that the whole charge breaks; plastics under one rule count together."""
    found = []
    for together in _strangers(known, shop, plastic, shares):
        rule = together.rule
        if together.share <= rule.share_max + SLACK:
            continue
        found.append(
            Fault(
                where="--lot",
                what=f"a charge of {' and '.join(shares)} holds {100 * together.share:.2g} % {together.names}; in"
                f" {plastic.id.upper()} {100 * rule.share_max:g} % is the most: {rule.reason}",
                instead="sort it out of the lot, or take a cleaner one, alone or for the larger share",
            )
        )
    return found


def mixing_notes(
    known: Mapping[str, Plastic], shop: Workshop, plastic: Plastic, shares: Mapping[str, float]
) -> list[str]:
    """What to know of a charge that keeps the rules: what its strangers do, and melts that stay apart."""
    notes = [
        f"The charge holds {100 * together.share:.2g} % {together.names}. {together.rule.note}"
        for together in _strangers(known, shop, plastic, shares)
        if together.rule.note and together.share > together.rule.note_from
    ]
    flows = {name: rate for name in shares if (rate := shop.lots[name].mfr)}
    if len(flows) < 2:
        return notes
    stiffest = min(flows, key=lambda name: flows[name])
    apart = max(flows.values()) / flows[stiffest]
    if apart > ISLANDS:
        notes.append(
            f"The lots' melt flow rates differ {apart:.0f}-fold; more than tenfold stays visible as islands, since a"
            f" press does not mix. {stiffest} is the stiffest."
        )
    elif len({shop.lots[name].plastic.lower() for name in shares}) > 1:
        notes.append(f"{stiffest} has the stiffest melt of this charge.")
    return notes


def _strangers(
    known: Mapping[str, Plastic], shop: Workshop, plastic: Plastic, shares: Mapping[str, float]
) -> list[_Together]:
    """The other plastics of a charge, those under the same pair rule together."""
    found: dict[str, _Together] = {}

    def add(name: str, share: float) -> None:
        kinds = meant_by(name, known)
        # a stranger may be anything ("PE", paint, wood), then it stands under its own name
        key = kinds[0].id if len(kinds) == 1 else name.strip().lower()
        if key == plastic.id or share <= 0:
            return
        rule = pair_by_name(plastic.like or plastic.id, name, known)
        parts = found.setdefault(rule.reason, _Together(rule)).parts
        parts[key] = parts.get(key, 0.0) + share

    for lot_id, share in shares.items():
        lot = shop.lots[lot_id]
        add(lot.plastic, share)
        for stranger, part in (inherited_strangers(shop, lot) | dict(lot.strangers)).items():
            add(stranger, share * part)
    return list(found.values())
