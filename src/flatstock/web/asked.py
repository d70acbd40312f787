"""What is asked of a card on its page, and the dials that it is asked with."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from flatstock.actions.cards import CardQuestion, card_of_order
from flatstock.actions.choices import CardChoices, PlasticChoice
from flatstock.errors import Fault, Refused, UserError
from flatstock.units import from_si, parse_number, parse_quantity, to_si
from flatstock.workshop.shop import Order, Workshop

__all__ = ["CardAsked", "Dial", "dial", "quantity"]

USUAL = 0.012  # m, where the shop has no frame to go by


@dataclass(frozen=True, slots=True, kw_only=True)
class Dial:
    """A slider with step buttons beside it, in the shop's unit."""

    name: str
    label: str
    value: str
    low: str
    high: str
    step: str
    steps: tuple[str, ...]  #: of the buttons, small first
    unit: str
    quick: tuple[str, ...]  #: values that are a tap away
    at: str  #: where the slider stands: at the value, or near what counts where it is left empty
    empty: str = ""  #: what counts where it is left empty; "": it never is

    @property
    def taps(self) -> tuple[tuple[str, str], ...]:
        """Each of those, and how its button says it: inches that are no sixteenth to three places, as they are read."""
        return tuple((one, _read(one) if self.unit == "in" else one) for one in self.quick)


@dataclass(frozen=True, slots=True, kw_only=True)
class CardAsked:
    """The question as the page holds it."""

    plastic: PlasticChoice
    thickness: float  #: [m]
    set_point: float  #: [°C]
    mould: int  #: 1, 2 or 3 in a row
    fans: bool
    press: str
    lot: str
    order: Order | None
    us: bool
    footprint: float | None = None  #: share of the cavity that the heap covers; None: laid level
    gauge: float | None = None  #: what the gauge shows at full pressure [Pa]; None: the usual
    #: full pressure on the sheet [Pa], where there is no gauge to go by; None: the usual
    pressure: float | None = None
    full: float | None = None  #: time at full pressure [s]; None: as advised
    every: float | None = None  #: from mould to mould in the cooling press [s]; None: this card's own

    @classmethod
    def of(
        cls,
        shop: Workshop,
        choices: CardChoices,
        plastic: str,
        thickness: str,
        set_point: str,
        mould: str,
        fans: str,
        press: str,
        lot: str,
        order: str,
        footprint: str = "",
        gauge: str = "",
        pressure: str = "",
        full: str = "",
        every: str = "",
    ) -> CardAsked:
        """From the words of a form; what is left out is as the order or the shop has it.

        Raises
        ------
        Refused
            No plastic can be pressed here.
        WrongWords
            A number that is none.
        """
        if not choices.plastics:
            raise Refused(Fault("plastics.toml", "no plastic can be pressed here", "see plastics.toml"))
        of_order = shop.orders.get(order)
        wanted = plastic.lower() or (of_order.plastic if of_order else "")
        known = {one.id: one for one in choices.plastics}
        chosen = known.get(wanted)
        if chosen is None:
            if wanted:
                raise Refused(
                    Fault("plastic", f"{wanted!r} can't be pressed here", f"one of {', '.join(known)}")
                )
            chosen = choices.plastics[0]
        us = shop.units_shown == "us"
        if thickness:
            deep = quantity(thickness, "length", "in" if us else "mm", "thickness")
        elif of_order:
            deep = of_order.thickness
        else:
            deep = _usual(choices)
        point = (
            quantity(set_point, "temperature", "F" if us else "C", "set-point")
            if set_point
            else chosen.set_point
        )
        return cls(
            plastic=chosen,
            thickness=deep,
            set_point=point,
            mould=int(mould) if mould in ("1", "2", "3") else 1,
            fans=choices.fans and (choices.fans_on if not fans else fans == "on"),
            press=press,
            lot=lot,
            order=of_order,
            us=us,
            footprint=quantity(footprint, "share", "%", "footprint") if footprint else None,
            gauge=quantity(gauge, "pressure", "psi" if us else "bar", "gauge") if gauge else None,
            pressure=quantity(pressure, "pressure", "psi" if us else "MPa", "pressure") if pressure else None,
            full=quantity(full, "duration", "min", "full") if full else None,
            every=quantity(every, "duration", "min", "every") if every else None,
        )

    def question(self, shop: Workshop) -> CardQuestion:
        """What is worked out."""
        same = self.order is not None and self.order.plastic == self.plastic.id and not self.lot
        lots = card_of_order(self.order).lots if same and self.order else {}
        return CardQuestion(
            plastic=self.plastic.id,
            thickness=self.thickness,
            press=self.press or None,
            lots={self.lot: 1.0} if self.lot else lots,
            set_point=None if abs(self.set_point - self.plastic.set_point) < 1e-6 else self.set_point,
            footprint=self.footprint,
            gauge=self.gauge,
            pressure=self.pressure,
            full_pressure_time=self.full,
            every=self.every if shop.cooling_presses else None,
            fans=self.fans if shop.cooling_presses else None,
            colour=self.order.colour if self.order and same else None,
            order=self.order.id if self.order else None,
        )

    def words(self) -> dict[str, str]:
        """The same as an address says it."""
        thickness = from_si(self.thickness, "length", "in" if self.us else "mm")
        point = from_si(self.set_point, "temperature", "F" if self.us else "C")
        said = {
            "plastic": self.plastic.id,
            "thickness": _short(thickness, 4),
            "set_point": _short(point, 1),
            "mould": str(self.mould),
            "fans": "on" if self.fans else "off",
            "press": self.press,
            "lot": self.lot,
            "order": self.order.id if self.order else "",
            "footprint": self._said(self.footprint, "share", "%", 2),
            "gauge": self._said(self.gauge, "pressure", "psi" if self.us else "bar", 1),
            "pressure": self._said(self.pressure, "pressure", "psi" if self.us else "MPa", 3),
            "full": self._said(self.full, "duration", "min", 2),
            "every": self._said(self.every, "duration", "min", 2),
        }
        return {name: value for name, value in said.items() if value}

    def _said(self, value: float | None, dimension: str, unit: str, decimals: int) -> str:
        return "" if value is None else _short(from_si(value, dimension, unit), decimals)


def _usual(choices: CardChoices) -> float:
    """The middle frame of the shop."""
    there = choices.thicknesses
    return there[len(there) // 2] if there else USUAL


def quantity(text: str, dimension: str, unit: str, where: str) -> float:
    """A number in the page's unit, or with a unit of its own. Raises `WrongWords`."""
    try:
        return to_si(parse_number(text, where=where), dimension, unit)
    except UserError:
        return parse_quantity(text, dimension, where=where)


def dial(
    name: str,
    label: str,
    value: float | None,
    *,
    low: float,
    high: float,
    steps: tuple[float, ...],
    unit: str,
    quick: Sequence[float] = (),
    at: float | None = None,
    empty: str = "",
) -> Dial:
    """A dial whose ends hold the value; without one its slider stands at `at`, and `empty` says what counts."""
    step, stands = steps[0], value
    if stands is None:
        stands = low if at is None else at
    low, high = min(low, stands), max(high, stands)
    low = round(low / step) * step if low <= stands else low
    return Dial(
        name=name,
        label=label,
        value="" if value is None else _short(value, 4),
        at=_short(stands, 4),
        empty=empty,
        low=_short(low, 4),
        high=_short(high, 4),
        step=_short(step, 4),
        steps=tuple(_short(one, 4) for one in steps),
        unit=unit,
        quick=tuple(_short(one, 4) for one in quick),
    )


def _read(inches: str) -> str:
    """A length on a button.

    >>> _read("0.2362"), _read("0.1875"), _read("0.75")
    ('0.236', '0.1875', '0.75')
    """
    return inches if (16 * float(inches)).is_integer() else _short(float(inches), 3)


def _short(value: float, decimals: int) -> str:
    said = f"{value:.{decimals}f}"
    return said.rstrip("0").rstrip(".") if "." in said else said
