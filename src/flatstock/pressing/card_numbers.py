"""The numbers of a press card: one sheet on one press, each worked out once, when it is first asked for."""

from __future__ import annotations

from dataclasses import dataclass, replace
from functools import cached_property
from math import ceil, floor

from flatstock.documents import Document
from flatstock.errors import Fault, Refused
from flatstock.evidence import Value
from flatstock.flow.level import Filling
from flatstock.pressing.asked import check_card_question
from flatstock.pressing.card_pictures import thickness_picture
from flatstock.pressing.charging import Charge
from flatstock.pressing.cooling import MOULDS, Cooling, air_carry, without_flash
from flatstock.pressing.flashing import LONGEST as LONGEST_FULL_PRESSURE
from flatstock.pressing.flashing import Flash
from flatstock.pressing.heating import Heating, heat
from flatstock.pressing.on_hand import too_little
from flatstock.pressing.pictures import ThicknessPicture
from flatstock.pressing.questions import CardQuestion
from flatstock.pressing.rig import NEW_FAN
from flatstock.pressing.setting import Setting, WetCharge, set_out
from flatstock.pressing.spreading import Spreading
from flatstock.pressing.steps import BAR, Instants, full_pressure, gauge, on_sheet, steps_of
from flatstock.pressing.trimming import Trimming
from flatstock.workshop.shop import Workshop, watered

__all__ = ["MINUTE", "TENTH", "Card", "work_out"]

MINUTE = 60.0  #: s
TENTH = 6.0  #: s: dwells are advised to a tenth of a minute
WHOLE_FROM = 600.0  #: s: from here on dwells are set in whole minutes
PRACTICE = "this shop's practice"  #: the rule of an advised dwell
LATE_END = "the late end of melt-through's band"  #: another
#: s of full pressure where no viscosity is on file: short, until the flash has been weighed (assumed)
UNKNOWN_FULL_PRESSURE = 60.0


@dataclass(frozen=True, eq=False, kw_only=True)
class Card:
    """A card being worked out; each part is computed once, when it is first asked for."""

    question: CardQuestion
    setting: Setting
    quick: bool = False  #: bands from a fitted surface, for many cards at once

    @cached_property
    def charge(self) -> Charge:
        """What to weigh."""
        return Charge(setting=self.setting)

    @cached_property
    def heating(self) -> Heating:
        """The hot press."""
        s = self.setting
        return heat(
            s.plastic,
            thermal=s.thermal,
            process=s.process,
            press=s.press,
            mould=s.mould,
            room=s.shop.room.value,
            set_point=s.set_point.value,
            thickness=s.thickness,
            mass=self.charge.mass_per_area,
            moisture=s.moisture,
            quick=self.quick,
        )

    @property
    def contact(self) -> Value:
        """Pressure on the sheet while it melts [Pa]."""
        return self.setting.process.contact_pressure or self.setting.shop.practice.contact_pressure

    @cached_property
    def pressures(self) -> tuple[Value, list[str]]:
        """Full pressure on the sheet, and what had to be said about it."""
        s, said = self.setting, list[str]()
        usual = s.process.full_pressure or s.shop.practice.full_pressure
        where, asked = self._asked_pressure
        contact = self.contact.value
        if asked is not None and asked < contact:
            raise Refused(
                Fault(
                    where=where,
                    what=f"{self._said(asked)} is less than the contact pressure before it, {self._said(contact)}",
                    instead=f"leave it out for the usual {self._said(usual.value)}",
                )
            )
        return full_pressure(
            asked, usual, s.press.cylinder, s.mould.area, s.press.id, said, where=where
        ), said

    @property
    def _asked_pressure(self) -> tuple[str, float | None]:
        """The option that asks for a full pressure, and that on the sheet [Pa]; None: the usual one."""
        reading, press = self.question.gauge, self.setting.press
        if reading is None:
            return "--pressure", self.question.pressure
        if self.question.pressure is not None:
            raise Refused(
                Fault("--gauge", "--pressure says what is on the sheet already", "leave one of them out")
            )
        found = on_sheet(reading, press.cylinder, self.setting.mould.area)
        if found is None:
            what = f"the bore of {press.id}'s cylinder is not on file, so its gauge says nothing of the sheet"
            raise Refused(
                Fault(
                    "--gauge", what, "write its piston_diameter_mm in shop.toml, or say `--pressure 0.25MPa`"
                )
            )
        return "--gauge", found

    def _said(self, pressure: float) -> str:
        """A pressure on the sheet [Pa], with what the gauge shows where that was asked for."""
        said = f"{pressure / 1e6:.4g} MPa"
        if self.question.gauge is None:
            return said
        reading = gauge(pressure, self.setting.press.cylinder, self.setting.mould.area)
        return said if reading is None else f"{reading / BAR:.0f} bar ({said} on the sheet)"

    @cached_property
    def flash(self) -> Flash:
        """What full pressure squeezes out.

        A melt that hardly flows is pressed for as long as is usual, but no longer than the face is sure to bear.
        """
        flash = Flash(
            charge=self.charge,
            pressure=self.pressures[0],
            asked_viscosity=self.question.viscosity,
            asked_time=self.question.full_pressure_time,
        )
        if flash.asked_time is not None or flash.advised_time != LONGEST_FULL_PRESSURE:
            return flash
        latest = self.heating.dwell_latest
        if latest is None:
            return flash
        end = floor(latest.low / TENTH) * TENTH  # the advised dwell is rounded up
        room = floor((end - self.heating.dwell.value - self.breathe_time) / TENTH) * TENTH
        return replace(flash, longest=min(LONGEST_FULL_PRESSURE, max(UNKNOWN_FULL_PRESSURE, room)))

    @property
    def full_time(self) -> float:
        """Full pressure [s]."""
        return UNKNOWN_FULL_PRESSURE if self.flash.time is None else self.flash.time

    @cached_property
    def spreading(self) -> Spreading:
        """The molten charge on its way from the heap to the frame."""
        return Spreading(
            charge=self.charge,
            heating=self.heating,
            viscosity_at_goal=self.flash.viscosity,
            contact=self.contact,
            full=self.pressures[0],
            asked=self.question.footprint,
        )

    @property
    def trimming(self) -> Trimming:
        """The frame's cavity beside the size sold."""
        return Trimming(
            frame=self.setting.mould.frame,
            practice=self.setting.shop.practice,
            shrinkage=self.charge.shrinkage,
        )

    @property
    def full_at(self) -> float:
        """When full pressure is put on [s]."""
        return self.advised[0] - self.full_time

    @property
    def contact_until(self) -> float:
        """When contact pressure is let off to breathe, or full pressure put on [s]."""
        return self.full_at - self.breathe_time

    @property
    def breathe_time(self) -> float:
        """All breathing together [s]."""
        return self.setting.process.breathe_times * self.setting.shop.practice.breathe_time

    @cached_property
    def practice_dwell(self) -> float | None:
        """What this shop has found to work for this thickness, or for the next thinner one on file [s]."""
        found = [dwell for thickness, dwell in self._practice if thickness <= self.setting.thickness + 5e-5]
        return max(found, default=None)

    @cached_property
    def proven_dwell(self) -> float | None:
        """The shortest dwell on file for this thickness or a thicker one [s], which melts this sheet too.

        None under the set-point on file: nobody has tried it there.
        """
        usual = self.setting.plastic.process.set_point if self.setting.plastic.process else None
        if usual is not None and self.setting.set_point.value < usual.value - 1e-6:
            return None
        found = [dwell for thickness, dwell in self._practice if thickness >= self.setting.thickness - 5e-5]
        return min(found, default=None)

    @property
    def _practice(self) -> list[tuple[float, float]]:
        """Thicknesses [m] and dwells [s] on file for the card's plastic, or for the largest part of a charge that holds
        none of it."""
        held = [one.id for one, _ in self.setting.melting]
        of = self.setting.plastic.id if self.setting.plastic.id in held else held[0]
        return [
            (thickness, dwell)
            for (plastic, thickness), dwell in self.setting.shop.practice.dwell.items()
            if plastic.lower() == of
        ]

    @property
    def unsure(self) -> list[Fault]:
        """A fault where no dwell can be told that surely melts the core, and none is on file that has."""
        return [] if self.proven_dwell is not None else self.heating.unsure

    @cached_property
    def needed(self) -> float:
        """Melt-through by the middle of its band, then breathing and full pressure [s]."""
        return self.heating.dwell.value + self.breathe_time + self.full_time

    @property
    def spent(self) -> bool:
        """Whether the face has had enough before the core has melted through and a minute of full pressure is over."""
        latest = self.heating.dwell_latest
        short = min(self.full_time, UNKNOWN_FULL_PRESSURE)
        return latest is not None and self.heating.dwell.value + self.breathe_time + short > latest.value

    @cached_property
    def advised(self) -> tuple[float, str]:
        """The dwell to set the clock to [s] and the rule that made it: the longest of up to three.

        Where no late end of melt-through is known, what this shop has on file as proven stands in its place.
        """
        dwell, practice = self.heating.dwell, self.practice_dwell
        rules = [(self.needed, "melt-through, then breathing and full pressure")]
        if not self.heating.late_end_unknown:
            rules.append((dwell.high, LATE_END))
        elif self.proven_dwell is not None:
            rules.append((self.proven_dwell, PRACTICE))
        if practice is not None:
            rules.append((practice, PRACTICE))
        seconds, rule = max(rules)
        seconds = ceil(seconds / TENTH - 1e-9) * TENTH
        margin = (seconds - dwell.value) / MINUTE
        return seconds, f"{rule}: {margin:.1f} min over melt-through"

    @property
    def set_dwell(self) -> float:
        """The advised dwell as a clock is set to it [s]: up to whole minutes from ten on, where the latest allows that.

        As every print says it (`prints.numbers.dwell_and_latest`), so that the picture ends where the steps do.
        """
        seconds, latest = self.advised[0], self.heating.dwell_latest
        if seconds < WHOLE_FROM:
            return seconds
        whole = ceil(round(seconds / MINUTE, 6)) * MINUTE
        late = None if latest is None or self.beyond_assumed else latest.low
        past = late is not None and seconds <= late and whole > floor(late / MINUTE) * MINUTE
        return seconds if past else whole

    @cached_property
    def beyond_assumed(self) -> bool:
        """Whether this shop's practice is longer than the face is only assumed to bear: practice has shown more."""
        latest = self.heating.dwell_latest
        assumed = self.setting.process.face_assumed and self.advised[1].startswith(PRACTICE)
        return assumed and latest is not None and self.advised[0] > latest.low

    @cached_property
    def cycle(self) -> float:
        """From mould to mould in the hot press [s]."""
        practice = self.setting.shop.practice
        return practice.load_time + self.advised[0] + practice.transfer_time

    @property
    def every(self) -> float:
        """From mould to mould in the cooling press [s]."""
        return self.cycle if self.question.every is None else self.question.every

    @property
    def fans(self) -> bool:
        """Whether fans blow on the cooling press."""
        cooling = self.setting.cooling
        if cooling is None or watered(cooling):
            return False
        if self.question.fans is not None:
            return self.question.fans
        return cooling.fans_on and cooling.fan_film is not None

    @property
    def fans_lacking(self) -> bool:
        """Whether fans are asked for that are not on file: they count as usual ones, and a warning says so."""
        cooling = self.setting.cooling
        return cooling is not None and cooling.fan_film is None and bool(self.question.fans)

    @cached_property
    def cooling(self) -> Cooling | None:
        """The cooling press; None where the shop has none."""
        s = self.setting
        if s.cooling is None or s.process.open_below is None:
            return None
        _, hot, _ = self.heating.until(self.advised[0])
        lost = 0.0 if self.flash.mass is None else self.flash.mass.value
        lighter = without_flash(
            hot, mass=max(self.charge.plastic_mass - lost, 1e-3) / s.mould.area, thermal=s.thermal
        )
        arriving = air_carry(
            lighter,
            s.mould,
            duration=s.shop.practice.air_time,
            contact=s.cooling.sheet_contact.value,
            room=s.shop.room.value,
            edge=s.cooling.edge_film.value,
        )
        return Cooling(
            thermal=s.thermal,
            shop_press=replace(s.cooling, fan_film=NEW_FAN) if self.fans_lacking else s.cooling,
            mould=s.mould,
            room=s.shop.room.value,
            fans=self.fans,
            arriving=arriving,
            open_below=s.process.open_below.value,
            every=self.every,
        )

    @cached_property
    def cool_times(self) -> tuple[Value | None, ...]:
        """Under pressure, first to third mould in a row [s]."""
        return (None,) * MOULDS if self.cooling is None else self.cooling.times

    @property
    def following(self) -> float:
        """Pressure in the cooling press [Pa], no more than it is rated for on this sheet."""
        usual = self.setting.shop.practice.following_pressure.value
        cylinder = self.setting.cooling.cylinder if self.setting.cooling else None
        return usual if cylinder is None else min(usual, cylinder.force_max / self.setting.mould.area)

    @property
    def steps(self) -> list[Document]:
        """What to do when."""
        s, practice = self.setting, self.setting.shop.practice
        transfer, full = self.advised[0], self.full_at
        first = self.cool_times[0]
        return steps_of(
            Instants(
                breathe=full - self.breathe_time,
                breathe_times=s.process.breathe_times,
                full=full,
                transfer=transfer,
                clamped=transfer + practice.transfer_time,
                open_first=None if first is None else first.high,
                open_below=s.process.open_below.value if s.process.open_below else 0.0,
                demould_below=s.process.demould_below.value if s.process.demould_below else 0.0,
            ),
            contact=self.contact.value,
            full=self.pressures[0].value,
            following=self.following,
            hot=s.press.cylinder,
            cold=s.cooling.cylinder if s.cooling else None,
            area=s.mould.area,
            cooling_press=s.cooling.id if s.cooling else None,
        )

    def picture(self) -> ThicknessPicture:
        """Temperature through the thickness from loading to the advised transfer."""
        return thickness_picture(self.heating, advised=self.set_dwell)


def work_out(shop: Workshop, question: CardQuestion, *, pressed: bool = False) -> Card:
    """Choose and check everything; nothing of the heat is computed yet.

    `pressed`: the sheet has been pressed, so its lot and its frame are as they are.
    """
    check_card_question(question)
    try:
        setting = set_out(
            shop,
            plastic=question.plastic,
            thickness=question.thickness,
            press=question.press,
            frame=question.frame,
            lots=question.lots,
            set_point=question.set_point,
            frame_must_fit=not pressed,
        )
    except WetCharge as wet:
        raise Refused([*wet.faults, *_heap_once_dry(Charge(setting=wet.setting))]) from None
    card = Card(question=question, setting=setting)
    if not pressed and (short := too_little(card.charge)):
        raise Refused(short)
    return card


def _heap_once_dry(charge: Charge) -> list[Fault]:
    """What will be wrong with how the same charge fills the frame, which can be said before it is dry."""
    setting, filling = charge.setting, charge.heap_advice.filling
    heap, opening = charge.heap.value * 1e3, setting.press.daylight * 1e3
    if filling is Filling.FITS:
        return []
    what = f"once dry, the loose charge stands {heap:.0f} mm of {opening:.0f} mm daylight"
    return [Fault(where="the heap", what=what, instead=filling.value)]
