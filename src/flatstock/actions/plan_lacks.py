"""What a shop has to have before any week of it can be planned, in words for whoever sets it up."""

from __future__ import annotations

from dataclasses import dataclass

from flatstock.running.rules_people import HOT
from flatstock.workshop.shop import Workshop
from flatstock.workshop.skill_words import trained

__all__ = ["Lack", "plan_lacks"]

PAIR = 2  #: people at every load and transfer


@dataclass(frozen=True, slots=True)
class Lack:
    """One thing that is not there."""

    what: str  #: and why no week comes without it
    add: str  #: what to do
    of: str  #: the table of shop.toml that it is added to


def plan_lacks(shop: Workshop) -> tuple[Lack, ...]:
    """Everything without which planning refuses any week; empty where there is nothing of the kind.

    Cards need none of it: they are there as before.
    """
    found = []
    if not shop.cooling_presses:
        what = "there is no cooling press on file, and a hot sheet needs pressure while it shrinks"
        found.append(Lack(what, "Add the cooling press", "cooling_presses"))
    if sum(HOT in one.skills for one in shop.people.values()) < PAIR:
        what = f"loading and transfer take two different people {trained(HOT)}, and there are fewer"
        found.append(Lack(what, "Say who is trained", "people"))
    return tuple(found)
