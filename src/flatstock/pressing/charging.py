"""What to weigh: net charge, charge with its flash allowance by lot, heap and hot level."""

from __future__ import annotations

from dataclasses import dataclass
from functools import cached_property

import numpy as np

from flatstock.evidence import Value
from flatstock.flow.charge import charge_with_allowance, net_charge, wet_mass
from flatstock.flow.level import HeapAdvice, heap_advice, heap_height, hot_level
from flatstock.flow.lifting import mould_mass
from flatstock.flow.shrinkage import cold_area, cold_length
from flatstock.flow.weighing import round_to_step, split_by_shares, tolerance_mass
from flatstock.pressing.bands import band_of, draw
from flatstock.pressing.blending import density_of_parts, shrinkage_of_parts
from flatstock.pressing.setting import Setting
from flatstock.workshop.shop import Scale

__all__ = ["Charge"]

FORMULA = "flow model, docs/flow.md"


@dataclass(frozen=True, eq=False, kw_only=True)
class Charge:
    """The charge for one sheet. Masses [kg], lengths [m]."""

    setting: Setting

    @cached_property
    def density(self) -> Value:
        """Of the cold sheet [kg/m3]."""
        return density_of_parts([(one.id, share, one.density) for one, share in self.setting.parts])

    @cached_property
    def shrinkage(self) -> Value:
        """Linear."""
        return shrinkage_of_parts(self.setting.parts)

    @cached_property
    def cold_area(self) -> float:
        """Of the cold sheet [m2]."""
        frame = self.setting.mould.frame
        return cold_area(
            cavity_length=frame.cavity_length, cavity_width=frame.cavity_width, shrinkage=self.shrinkage.value
        )

    def cold(self, cavity: float) -> Value:
        """Cold length of a cavity dimension."""
        return self.shrinkage.mapped(
            lambda s: cold_length(cavity=cavity, shrinkage=s), unit="m", kind="computed"
        )

    @cached_property
    def net(self) -> Value:
        """Mass of the finished sheet."""
        frame = self.setting.mould.frame
        typical = net_charge(
            thickness=self.setting.thickness, density=self.density.value, cold_area=self.cold_area
        )
        drawn = draw({"density": self.density, "shrinkage": self.shrinkage})
        samples = (
            self.setting.thickness * drawn["density"] * frame.cavity_area * (1 - drawn["shrinkage"]) ** 2
        )
        return band_of(typical, samples, unit="kg", source=FORMULA)

    @property
    def allowance(self) -> Value:
        """For flash, as a fraction of the net charge."""
        return self.setting.shop.practice.flash_allowance

    @cached_property
    def dry(self) -> float:
        """Plastic to put in, unrounded."""
        return charge_with_allowance(net_charge=self.net.value, allowance=self.allowance.value)

    @cached_property
    def scale(self) -> Scale | None:
        """The smallest scale that takes the whole charge."""
        whole = wet_mass(dry_mass=self.dry, moisture=self.setting.moisture)
        fit = [scale for scale in self.setting.shop.scales if scale.capacity >= whole]
        return min(fit, key=lambda scale: scale.capacity, default=None)

    @property
    def step(self) -> float:
        """Of the scale; of the largest where none takes the whole charge; one gram where there is none."""
        if self.scale is not None:
            return self.scale.step
        largest = max(self.setting.shop.scales, key=lambda scale: scale.capacity, default=None)
        return 0.001 if largest is None else largest.step

    @cached_property
    def weighed(self) -> float:
        """What the scale shows: moist flake, rounded to its step."""
        return round_to_step(wet_mass(dry_mass=self.dry, moisture=self.setting.moisture), step=self.step)

    @property
    def charge(self) -> Value:
        """The weighed charge with what density and shrinkage leave open."""
        factor = self.weighed / self.net.value
        return Value(
            self.weighed,
            min(self.net.low * factor, self.weighed),
            max(self.net.high * factor, self.weighed),
            "computed",
            FORMULA,
            "kg",
        )

    @property
    def plastic_mass(self) -> float:
        """Plastic in the weighed charge."""
        return self.weighed * (1.0 - self.setting.moisture)

    @cached_property
    def weigh_list(self) -> list[tuple[str | None, float]]:
        """Lot and mass, largest first; the masses sum to the charge."""
        shares = self.setting.lots
        if not shares:
            return [(None, self.weighed)]
        masses = split_by_shares(self.weighed, shares=list(shares.values()), step=self.step)
        return sorted(zip(shares, masses, strict=True), key=lambda line: -line[1])

    @cached_property
    def tolerance(self) -> float:
        """How far a weighing may be off."""
        return tolerance_mass(
            thickness_tolerance=self.setting.shop.practice.thickness_tolerance,
            density=self.density.value,
            cold_area=self.cold_area,
            step=self.step,
        )

    @cached_property
    def melt_density(self) -> Value:
        """At the set-point and 0.1 MPa [kg/m3]; a part whose melt is on nobody's file counts as the card's plastic."""
        goal, host = self.setting.set_point.value, self.setting.plastic
        return density_of_parts(
            [
                (one.id, share, (one if one.melt else host).melt_density_at(goal))
                for one, share in self.setting.parts
            ]
        )

    def level(self, mass: float) -> Value:
        """How high a mass stands when molten."""
        area = self.setting.mould.area
        return self.melt_density.mapped(
            lambda rho: hot_level(mass=mass, melt_density=rho, cavity_area=area), unit="m", kind="computed"
        )

    @cached_property
    def heap(self) -> Value:
        """How high the loose charge heaps in the frame."""
        area = self.setting.mould.area
        return self.setting.bulk_density.mapped(
            lambda rho: heap_height(mass=self.weighed, bulk_density=rho, cavity_area=area),
            unit="m",
            kind="computed",
        )

    @cached_property
    def heap_advice(self) -> HeapAdvice:
        """Whether the heap can be loaded at once."""
        setting = self.setting
        return heap_advice(
            heap=self.heap.value,
            settled=self.level(self.plastic_mass).value,
            frame=setting.mould.frame.thickness,
            skins=2 * setting.mould.skin.thickness,
            daylight=setting.press.daylight,
        )

    @cached_property
    def mould_mass(self) -> float:
        """Frame, skins and charge."""
        mould = self.setting.mould
        return mould_mass(frame=mould.frame.mass, skin=mould.skin.mass, charge=self.weighed)

    @property
    def mass_per_area(self) -> float:
        """Plastic per area of cavity [kg/m2]."""
        return self.plastic_mass / self.setting.mould.area

    @property
    def thickness_effect(self) -> float:
        """What the tolerance means in the sheet [m]."""
        return float(np.divide(self.tolerance, self.density.value * self.cold_area))
