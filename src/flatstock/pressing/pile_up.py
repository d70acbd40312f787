"""The moulds of a stack as they arrive, and the place that takes them; checked, or refused."""

from __future__ import annotations

from collections import Counter
from collections.abc import Sequence
from dataclasses import dataclass, replace
from datetime import datetime

import numpy as np

from flatstock.errors import Fault, NoSuchNumber, Refused, UserError
from flatstock.heat import layers as h
from flatstock.heat.press import Mould
from flatstock.pressing.card_numbers import work_out
from flatstock.pressing.charging import Charge
from flatstock.pressing.cooling import air_carry, on_grid, without_flash
from flatstock.pressing.picking import pick
from flatstock.pressing.polymers import Material, polymer_of
from flatstock.pressing.questions import CardQuestion, MouldWords, StackQuestion
from flatstock.pressing.rig import SKIN_TO_SHEET, MouldSet
from flatstock.pressing.setting import Setting, set_out
from flatstock.workshop.shop import CoolingPress, Rack, Stack, Workshop

__all__ = ["Coming", "Place", "arrange", "place_of"]

CELLS = 16  #: of each sheet in a stack
Place = Stack | CoolingPress | Rack


@dataclass(frozen=True, eq=False, kw_only=True)
class Coming:
    """One mould on its way to the stack."""

    name: str
    setting: Setting
    time: float  #: after the first arrival [s]
    core: float  #: hottest point when it arrives [°C]
    mould: Mould
    height: float  #: skins and sheet [m]
    weight: float  #: [kg]
    core_said: bool = True  #: else it comes straight from the hot press at its card's advised dwell

    @property
    def thermal(self) -> Material:
        """Of its plastics."""
        return self.setting.thermal

    @property
    def plastic(self) -> str:
        """Id of its plastic."""
        return self.setting.plastic.id

    @property
    def mould_set(self) -> MouldSet:
        """Frame and skins."""
        return self.setting.mould

    @property
    def limit(self) -> float:
        """Below this it may be opened [°C]."""
        value = self.setting.process.demould_below
        assert value is not None  # `set_out` refuses a plastic without it
        return value.value

    @property
    def release(self) -> float:
        """Below this cooling pressure may be let off [°C]."""
        value = self.setting.process.open_below
        assert value is not None
        return value.value

    def later(self, seconds: float, mould: Mould) -> Coming:
        """The same mould arriving later, in another state."""
        return replace(self, time=self.time + seconds, mould=mould)

    def on_grid(self, cells: int) -> Coming:
        """The same mould with fewer cells through the sheet."""
        sheet = self.mould.plastic
        coarse = on_grid(sheet, thermal=self.thermal, mass=float(np.sum(sheet.capacity)), cells=cells)
        return replace(self, mould=Mould(self.mould.lower, coarse, self.mould.upper))


def place_of(shop: Workshop, named: str | None) -> Place:
    """A stack, rack or cooling press by its ID; the shop's stack place where none is named."""
    places: dict[str, Place] = {**shop.stacks, **shop.racks, **shop.cooling_presses}
    default = shop.default_stack or next(iter(shop.stacks), None) or next(iter(shop.cooling_presses), None)
    return pick(named, places, what="place for a stack", where="--place", default=default)


def arrange(shop: Workshop, question: StackQuestion) -> list[Coming]:
    """The moulds in the order in which they are laid on each other; equal times: in the order written."""
    if not question.moulds:
        raise Refused(
            Fault(where="--mould", what="no mould is named", instead="write --mould HDPE,12mm,09:00")
        )
    named = _named(question.moulds)
    first = min(words.arrives for words in named.values())
    coming, refusals = [], {}
    for name, words in named.items():
        try:
            coming.append(_coming(shop, words, name, first))
        except UserError as refusal:
            refusals[name] = refusal
    if refusals:
        kind = NoSuchNumber if all(isinstance(one, NoSuchNumber) for one in refusals.values()) else Refused
        raise kind(_of_mould(fault, name) for name, refusal in refusals.items() for fault in refusal.faults)
    asked = (question.at - first).total_seconds()
    faults = [
        Fault(
            where=f"--mould {one.name}",
            what="it arrives after the moment asked for",
            instead="ask for a later one",
        )
        for one in coming
        if one.time > asked
    ]
    if faults:
        raise Refused(faults)
    return sorted(coming, key=lambda one: one.time)


def _named(moulds: Sequence[MouldWords]) -> dict[str, MouldWords]:
    """The moulds by their names; who has none is M and its number. A name tells one mould from all others."""
    names = [words.name or f"M{number}" for number, words in enumerate(moulds, start=1)]
    faults = [
        Fault(where=f"--mould {name}", what=f"{count} moulds have this name", instead="give each its own")
        for name, count in Counter(names).items()
        if count > 1
    ]
    if faults:
        raise Refused(faults)
    return dict(zip(names, moulds, strict=True))


def _of_mould(fault: Fault, name: str) -> Fault:
    """A fault of a card's question, as one of the mould that asked it."""
    asked = fault.where in ("--plastic", "--thickness")
    return replace(fault, where=f"--mould {name}") if asked else fault


def _coming(shop: Workshop, words: MouldWords, name: str, first: datetime) -> Coming:
    if words.core is None:
        setting, charge, mould = _from_the_press(shop, words)
        core = float(np.max(mould.plastic.temperature))
    else:
        core = words.core
        if not shop.room.value - 20 <= core <= 300:
            raise NoSuchNumber(
                Fault(
                    where=f"--mould {name}",
                    what=f"a core of {core:g} °C is not possible",
                    instead=f"write what it arrives with, {shop.room.value:g} to 300 °C",
                )
            )
        setting = set_out(
            shop,
            plastic=words.plastic,
            thickness=words.thickness,
            lots=dict(words.lots),
            any_lot=False,
            frame_must_fit=False,
        )
        highest = setting.process.highest_set_point
        if highest is not None and core > highest.value:
            raise Refused(
                Fault(
                    where=f"--mould {name}",
                    what=f"a core of {core:g} °C is hotter than {setting.plastic.id.upper()} may be pressed,"
                    f" {highest.value:g} °C",
                    instead="write the core as it left the hot press",
                )
            )
        charge = Charge(setting=setting)
        mass = charge.net.value / setting.mould.area
        layer = h.sheet(polymer_of(setting.thermal), mass=mass, temperature=core, cells=CELLS)
        mould = setting.mould.around(layer, core)
    return Coming(
        name=name,
        setting=setting,
        time=(words.arrives - first).total_seconds(),
        core=core,
        mould=mould,
        height=2 * setting.mould.skin.thickness + max(setting.mould.frame.thickness, setting.thickness),
        weight=charge.mould_mass,
        core_said=words.core is not None,
    )


def _from_the_press(shop: Workshop, words: MouldWords) -> tuple[Setting, Charge, Mould]:
    """As the card's advised dwell leaves it, after its way through the air."""
    question = CardQuestion(plastic=words.plastic, thickness=words.thickness, lots=dict(words.lots))
    card = work_out(shop, question, pressed=True)
    _, hot, _ = card.heating.until(card.advised[0])
    setting, charge, cooling = card.setting, card.charge, card.setting.cooling
    lost = 0.0 if card.flash.mass is None else card.flash.mass.value
    mass = (charge.plastic_mass - lost) / setting.mould.area
    lighter = without_flash(hot, mass=mass, thermal=setting.thermal)
    sheet = on_grid(lighter.plastic, thermal=setting.thermal, mass=mass, cells=CELLS)
    mould = air_carry(
        Mould(lighter.lower, sheet, lighter.upper),
        setting.mould,
        duration=shop.practice.air_time,
        contact=SKIN_TO_SHEET if cooling is None else cooling.sheet_contact.value,
        room=shop.room.value,
        edge=0.0 if cooling is None else cooling.edge_film.value,
    )
    return setting, charge, mould


def check_room(shop: Workshop, place: Place, coming: Sequence[Coming]) -> None:
    """Refuse a stack that is too high or too heavy for its place, or that nobody could lay safely."""
    faults = []
    if isinstance(place, CoolingPress):
        height = sum(one.height for one in coming)
        if height > place.daylight:
            faults.append(
                Fault(
                    where=f"place {place.id}",
                    what=f"{len(coming)} moulds stand {height * 1e3:.0f} mm high, more than its daylight of"
                    f" {place.daylight * 1e3:.0f} mm",
                    instead="stack fewer",
                )
            )
    elif len(coming) > place.moulds_max:
        faults.append(
            Fault(
                where=f"place {place.id}",
                what=f"{len(coming)} moulds are more than it takes, {place.moulds_max}",
                instead="stack fewer, or in two places",
            )
        )
    heaviest = max(one.weight for one in coming)
    by_hand = shop.practice.two_person_lift
    lifts = [
        aid
        for aid in shop.places.values()
        if aid.kind == "lift" and (aid.load_max is None or aid.load_max >= heaviest)
    ]
    if len(coming) > 1 and not isinstance(place, Rack) and heaviest > by_hand and not lifts:
        faults.append(
            Fault(
                where=f"place {place.id}",
                what=f"a mould of {heaviest:.0f} kg would be lifted onto another by hand: two people lift"
                f" {by_hand:.0f} kg at most, and no lifting aid that bears it is on file",
                instead="use a lifting aid and add it to shop.toml under lifts, or cool the moulds side by side",
            )
        )
    most = getattr(place, "mass_max", None)
    weight = sum(one.weight for one in coming)
    if most is not None and weight > most:
        faults.append(
            Fault(
                where=f"place {place.id}",
                what=f"{len(coming)} moulds weigh {weight:.0f} kg, more than it bears, {most:.0f} kg",
                instead="stack fewer",
            )
        )
    if faults:
        raise Refused(faults)
