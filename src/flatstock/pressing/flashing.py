"""Flash under full pressure, and the sheet that is left: how long full pressure may last."""

from __future__ import annotations

from dataclasses import dataclass
from functools import cached_property

import numpy as np

from flatstock.errors import OutOfRange
from flatstock.evidence import Value
from flatstock.flow.charge import sheet_thickness
from flatstock.flow.slot import Land, flash_mass, full_pressure_time
from flatstock.pressing.bands import band_of, draw, shares_of
from flatstock.pressing.charging import Charge

__all__ = ["LONGEST", "Flash"]

#: s: full pressure is kept short even where flash would allow more (common practice, no source)
LONGEST = 300.0
FORMULA = "slot flow over the frame's land, docs/flow.md"


@dataclass(frozen=True, eq=False, kw_only=True)
class Flash:
    """Melt that leaves over the land. Seconds, Pa, kg."""

    charge: Charge
    pressure: Value  #: on the sheet
    asked_viscosity: float | None
    asked_time: float | None
    longest: float = LONGEST  #: of full pressure that nobody has asked for

    @cached_property
    def viscosity(self) -> Value | None:
        """As asked, as the lots or the plastic have it on file, else from melt flow rates; None: nothing on file."""
        setting = self.charge.setting
        if self.asked_viscosity is not None:
            return Value.sure(self.asked_viscosity, kind="assumed", source="asked for", unit="Pa s")
        # a charge of several lots flows like the logarithmic mean of them, an estimate at best: a press does not mix
        logs = np.zeros(3)
        kinds: list[Value] = []
        for lot, share in setting.stock:
            own = lot.viscosity
            law = setting.plastic_of(lot).viscosity or setting.plastic.viscosity
            if own is None and law is not None and law.own is not None:
                own = law.own
            elif own is None and lot.mfr is not None and law is not None:
                try:
                    own = law.at(setting.set_point.value, mfr=lot.mfr)
                except OutOfRange:
                    return None
            if own is None:
                return None
            logs += share * np.log([own.value, own.low, own.high])
            kinds.append(own)
        if not kinds:
            return setting.plastic.viscosity.own if setting.plastic.viscosity else None
        value, low, high = np.exp(logs)
        source = "lots of this workshop" if any(k.kind == "measured" for k in kinds) else kinds[0].source
        note = "" if len(kinds) == 1 else "logarithmic mean of the lots, an estimate: a press does not mix"
        return Value(float(value), float(low), float(high), kinds[0].kind, source, "Pa s", note)

    @property
    def unknown(self) -> str:
        """What is not on file where there is no viscosity, and what to write where."""
        setting = self.charge.setting
        law, plastic = setting.plastic.viscosity, setting.plastic.id.upper()
        by_rate = law is not None and law.test is not None
        bare = [lot.id for lot, _ in setting.stock if lot.viscosity is None and lot.mfr is None]
        if not by_rate:
            return (
                f"no viscosity of {plastic} is on file: write viscosity_kPas of it in plastics.toml, or of the lot in"
                " lots.csv"
            )
        whose = f"lot {' and '.join(bare)}" if bare else plastic
        rate = "its mfr_g_10min, from its data sheet," if bare else "a lot with its mfr_g_10min"
        return (
            f"no melt flow rate and no viscosity of {whose} is on file: write {rate} in lots.csv, or viscosity_kPas of"
            f" {plastic} in plastics.toml"
        )

    @property
    def land(self) -> Land:
        """The rim that flash crosses."""
        frame = self.charge.setting.mould.frame
        return Land(width=frame.land, perimeter=frame.perimeter, cavity_area=frame.cavity_area)

    @cached_property
    def first_gap(self) -> float:
        """How far the unrounded charge stands over the frame when molten [m]."""
        level = self.charge.level(self.charge.dry).value
        return max(0.0, level - self.charge.setting.mould.frame.thickness)

    @cached_property
    def advised_time(self) -> float | None:
        """Full pressure until flash equals the allowance, `longest` at most; None where that is not known."""
        if self.viscosity is None or self.first_gap <= 0:
            return None
        seconds: float = full_pressure_time(
            net_charge=self.charge.net.value,
            allowance=self.charge.allowance.value,
            frame=self.charge.setting.mould.frame.thickness,
            melt_density=self.charge.melt_density.value,
            pressure=self.pressure.value,
            viscosity=self.viscosity.value,
            land=self.land,
        )
        return min(seconds, self.longest)

    @property
    def time(self) -> float | None:
        """Full pressure as asked, else as advised."""
        return self.asked_time if self.asked_time is not None else self.advised_time

    def mass_after(self, time: float) -> Value | None:
        """Flash after `time` at full pressure; the band follows the viscosity's and the pressure's."""
        if self.viscosity is None:
            return None
        if self.first_gap <= 0:
            return Value.sure(0.0, kind="computed", source=FORMULA, unit="kg")

        gap, land, density = self.first_gap, self.land, self.charge.melt_density.value

        def flash(viscosity: float, pressure: float) -> float:
            return flash_mass(
                time, first_gap=gap, pressure=pressure, viscosity=viscosity, land=land, melt_density=density
            )

        drawn = draw({"viscosity": self.viscosity, "pressure": self.pressure})
        samples = np.array([flash(*pair) for pair in zip(drawn["viscosity"], drawn["pressure"], strict=True)])
        return band_of(flash(self.viscosity.value, self.pressure.value), samples, unit="kg", source=FORMULA)

    @cached_property
    def shares(self) -> dict[str, float]:
        """Which inputs the band of the flash comes from, largest first."""
        if self.viscosity is None or self.first_gap <= 0 or not self.time:
            return {}
        # by the law itself: the loss of gap depends on pressure · time / viscosity alone
        loss = {"melt viscosity": self.viscosity, "full pressure": self.pressure}
        return shares_of(loss, lambda c: c["full pressure"] / c["melt viscosity"])

    @cached_property
    def mass(self) -> Value | None:
        """Flash in the full-pressure time; none where the melt does not reach over the frame."""
        if self.time is None and self.viscosity is not None:
            return self.mass_after(0.0)
        return None if self.time is None else self.mass_after(self.time)

    @cached_property
    def thickness(self) -> Value | None:
        """The sheet after flash [m]."""
        if self.mass is None:
            return None
        dry, area = self.charge.dry, self.charge.cold_area
        return self.mass.mapped(
            lambda lost: sheet_thickness(
                mass=max(dry - lost, 1e-6), density=self.charge.density.value, cold_area=area
            ),
            unit="m",
        )
