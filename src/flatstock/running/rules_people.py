"""Who may: two different people, there, with the skill; heating never unattended."""

from __future__ import annotations

from collections.abc import Iterator

from flatstock.running.breach import Breach, never, soft
from flatstock.running.event import Event
from flatstock.running.kinds import kinds
from flatstock.running.situation import Situation
from flatstock.running.words import clock, named
from flatstock.workshop.skill_words import trained

__all__ = ["HOT", "TRAINED", "hands", "unattended"]

HOT = "hot_transfer"
TRAINED = trained(HOT)
#: what anybody may note in danger without giving a name
_NAMELESS = frozenset({"power_cut", "power_back", "smoke", "accident", "note", "undone", "corrected"})


def hands(event: Event, now: Situation) -> Iterator[Breach]:
    """Too few people, the same one twice, somebody unknown, without the skill or not there."""
    kind, shop = kinds()[event.kind], now.shop
    different = tuple(dict.fromkeys(event.who))
    for person in different:
        if person not in shop.people:
            known = ", ".join(sorted(shop.people)) or "nobody"
            yield never("who", f"nobody here is called {person!r}", f"there are {known}")
    able = [
        p
        for p in different
        if p in shop.people and (kind.skill is None or kind.skill in shop.people[p].skills)
    ]
    if event.kind in _NAMELESS:
        return
    needed = 2 if kind.handling and not _lifted(event, now) else kind.people
    if kind.handling and needed == 2 and len(different) < 2:
        yield never(
            "who", _by_one(event, now), "a second person, or a lift that the shop lists for that mass"
        )
    elif len(able) < needed:
        yield never("who", _too_few(event, able, needed), _instead(needed, kind.skill))
    if event.kind in ("arrived", "left"):
        return
    for person in able:
        if not now.people.here(person, event.at):
            yield soft(
                "who",
                f"{person} is not here at {clock(event.at, now.zone)} by the shop's hours",
                f"tap that {person} has arrived, or name somebody who is here",
            )


def _too_few(event: Event, able: list[str], needed: int) -> str:
    if len(event.who) > len(set(event.who)):
        return f"{named(sorted({w for w in event.who if event.who.count(w) > 1}))} cannot be both people"
    skill = kinds()[event.kind].skill
    who = f"{named(able)} may" if able else ("nobody named may" if event.who else "nobody is named")
    return f"{event.kind.replace('_', ' ')} takes {needed} {'person' if needed == 1 else 'people'}" + (
        f" {trained(skill)}; {who}" if skill else f"; {who}"
    )


def _instead(needed: int, skill: str | None) -> str:
    who = "one person" if needed == 1 else "two different people"
    leave = "; until they are here leave it closed" if needed == 2 and skill == HOT else ""
    return f"{who}{f' {trained(skill)}' if skill else ''}{leave}"


def _by_one(event: Event, now: Situation) -> str:
    mass = None if event.sheet is None else now.mould_mass(event.sheet)
    heavy = "" if mass is None else f" of {mass:.0f} kg"
    return f"a mould{heavy} takes two people" if event.who else "nobody is named"


def _lifted(event: Event, now: Situation) -> bool:
    """Whether the event names a lift that takes the mould."""
    said = event.facts.get("lift")
    name = said if isinstance(said, str) else event.place
    lift = now.shop.places.get(name or "")
    if lift is None or lift.kind != "lift" or event.sheet is None:
        return False
    mass = now.mould_mass(event.sheet)
    return mass is not None and lift.load_max is not None and mass <= lift.load_max


def unattended(event: Event, now: Situation) -> Iterator[Breach]:
    """Somebody leaves who is the last to watch the heaters."""
    if event.kind != "left":
        return
    hot = [press for press, heat in now.heats.items() if heat.on]
    stay = [p for p in now.people.there(event.at, skill=HOT) if p not in event.who]
    if hot and not stay:
        yield soft(
            named(hot),
            f"its heaters are on, and without {named(event.who)} nobody {TRAINED} is here",
            "heaters off at the isolator first, or somebody with that training takes over",
        )
